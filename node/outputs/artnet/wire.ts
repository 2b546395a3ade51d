import type { Link, OpenUdp, UdpOptions, UdpSocket } from '../../core/ports.ts';
import { directedBroadcast, isLoopback, Routes, sameSubnet } from '../links.ts';
import { ARTNET_PORT } from './packets.ts';
import type { Destination } from './stream.ts';

/** The one socket that Art-Net sends and receives by, and the links that it may use. Art-Net knows IPv4 only. */
export class Wire {
  /** Datagrams handed to the system. */
  packets = 0;
  /** Datagrams dropped because their link was away. */
  dropped = 0;
  readonly #wanted: string | undefined;
  readonly #openUdp: OpenUdp;
  readonly #options: UdpOptions;
  readonly #routes = new Routes();
  #socket: UdpSocket | undefined;
  #links: readonly Link[] = [];
  #broadcasts: readonly string[] = [];
  #own: ReadonlySet<string> = new Set();

  constructor(wanted: string | undefined, openUdp: OpenUdp, { onMessage, onError }: Pick<UdpOptions, 'onMessage' | 'onError'>) {
    this.#wanted = wanted;
    this.#openUdp = openUdp;
    this.#options = { family: 'IPv4', port: ARTNET_PORT, broadcast: true, onError, ...(onMessage && { onMessage }) };
  }

  /**
   * Takes over the links that are up. The socket is bound to no address, so it outlives them all.
   * @returns whether anything differs from before.
   */
  relink(links: readonly Link[]): boolean {
    this.#socket ??= this.#openUdp(this.#options);
    if (!this.#routes.relink(links)) return false;
    this.#links = this.#subnets(links);
    this.#broadcasts = this.#links.map(directedBroadcast);
    this.#own = new Set(links.map(({ address }) => address));
    return true;
  }

  /** @returns false when the datagram was dropped because its link is away. */
  send(packet: Uint8Array, port: number, address: string): boolean {
    if (this.#socket === undefined || !this.reaches(address)) {
      this.dropped++;
      return false;
    }
    this.#socket.send(packet, port, address);
    this.packets++;
    return true;
  }

  /** To the directed broadcast address of every link. */
  broadcast(packet: Uint8Array): void {
    for (const address of this.#broadcasts) {
      this.#socket?.send(packet, ARTNET_PORT, address);
      this.packets++;
    }
  }

  /** Data that should leave by a chosen interface must not find a way into another network while that one is away. */
  reaches(address: string): boolean {
    return this.#routes.reaches(address) && (this.#wanted === undefined || this.#links.length > 0 || isLoopback(address));
  }

  /** The link in whose subnet `address` lies; undefined for strangers, who are neither answered nor listened to. */
  facing(address: string): Link | undefined {
    return this.#links.find((link) => sameSubnet(link, address));
  }

  /** Whether `address` is this machine's own. */
  owns(address: string): boolean {
    return this.#own.has(address);
  }

  get links(): readonly Link[] {
    return this.#links;
  }

  /** What should be sent to and cannot: addresses of `fixed`, or else interfaces that are to be used. */
  away(fixed: readonly Destination[] | undefined): readonly string[] {
    if (fixed !== undefined) return fixed.map(({ address }) => address).filter((address) => !this.reaches(address));
    const interfaces = this.#routes.away(this.#wanted, 'IPv4');
    return interfaces.length === 0 && this.#links.length === 0 ? ['any interface'] : interfaces;
  }

  close(): void {
    this.#socket?.close();
    this.#socket = undefined;
  }

  /** Polls go into every subnet of a chosen interface: a cable often carries an address for Art-Net beside the one for the web. */
  #subnets(links: readonly Link[]): readonly Link[] {
    const chosen = this.#routes.chosen(this.#wanted, 'IPv4');
    if (chosen.some(({ address }) => address === this.#wanted)) return chosen;
    const names = new Set(chosen.map(({ name }) => name));
    return links.filter(({ name, family }) => family === 'IPv4' && names.has(name));
  }
}

import type { Link, OutputHost, UdpOptions, UdpSocket } from '../../core/ports.ts';
import type { Millis } from '../../core/units.ts';
import { directedBroadcast, Routes } from '../links.ts';
import { Neighbours } from '../neighbours.ts';
import { isLoopback, sameSubnet } from '../subnet.ts';
import { ARTNET_PORT } from './packets.ts';
import type { Destination } from './stream.ts';

/** The one socket that Art-Net sends and receives by, and the links that it may use. Art-Net knows IPv4 only. */
export class Wire {
  /** Datagrams handed to the system. */
  packets = 0;
  /** Datagrams dropped because there was no way. */
  dropped = 0;
  readonly #host: OutputHost;
  readonly #neighbours: Neighbours;
  readonly #options: UdpOptions;
  readonly #routes = new Routes();
  #wanted: string | undefined;
  #socket: UdpSocket | undefined;
  #now: Millis = 0;
  #present: readonly Link[] = [];
  #links: readonly Link[] = [];
  #broadcasts: readonly string[] = [];
  #own: ReadonlySet<string> = new Set();

  constructor(wanted: string | undefined, host: OutputHost, { onMessage, onError }: Pick<UdpOptions, 'onMessage' | 'onError'>) {
    this.#wanted = wanted;
    this.#host = host;
    this.#neighbours = new Neighbours(
      host.neighbourhood,
      (address) => this.#routes.linkTo(address),
      (packet, port, address) => this.#socket?.send(packet, port, address),
    );
    this.#options = { family: 'IPv4', port: ARTNET_PORT, broadcast: true, onError, ...(onMessage && { onMessage }) };
  }

  /**
   * Takes over the links that are up. The socket is bound to no address, so it outlives them all.
   * @returns whether anything differs from before.
   */
  relink(links: readonly Link[]): boolean {
    this.#socket ??= this.#host.openUdp(this.#options);
    if (!this.#routes.relink(links)) return false;
    this.#present = links;
    this.#direct();
    this.#own = new Set(links.map(({ address }) => address));
    return true;
  }

  /** Sends by this interface from now on, or by all. @returns whether that differs from before. */
  settle(wanted: string | undefined): boolean {
    if (wanted === this.#wanted) return false;
    this.#wanted = wanted;
    this.#direct();
    return true;
  }

  /** Before the sends of a frame. @returns whether a receiver can be sent to again who could not. */
  look(now: Millis): boolean {
    this.#now = now;
    return this.#neighbours.look(now);
  }

  /** When {@link look} is worth while again; infinite: with the next frame. */
  dueAt(now: Millis): Millis {
    return this.#neighbours.dueAt(now);
  }

  /** Whether a receiver is held back. */
  get holding(): boolean {
    return this.#neighbours.holding;
  }

  /** Levels, which are worth nothing when they come late. @returns false when they were dropped, because nothing can leave at once. */
  sendNow(packet: Uint8Array, port: number, address: string): boolean {
    if (this.reaches(address) && this.#neighbours.reaches(address, this.#now)) return this.send(packet, port, address);
    this.dropped++;
    return false;
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

  /** Whether levels for `address` can be expected to arrive. */
  hears(address: string): boolean {
    return this.reaches(address) && !this.#neighbours.isSilent(address, this.#now);
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

  /** Addresses of `fixed` whose link is there, but that do not answer. */
  silent(fixed: readonly Destination[] | undefined): readonly string[] {
    return (fixed ?? []).map(({ address }) => address).filter((address) => this.reaches(address) && !this.hears(address));
  }

  close(): void {
    this.#socket?.close();
    this.#socket = undefined;
  }

  #direct(): void {
    this.#neighbours.forget();
    this.#links = this.#subnets();
    this.#broadcasts = this.#links.map(directedBroadcast);
  }

  /** Polls go into every subnet of a chosen interface: a cable often carries an address for Art-Net beside the one for the web. */
  #subnets(): readonly Link[] {
    const chosen = this.#routes.chosen(this.#wanted, 'IPv4');
    if (chosen.some(({ address }) => address === this.#wanted)) return chosen;
    const names = new Set(chosen.map(({ name }) => name));
    return this.#present.filter(({ name, family }) => family === 'IPv4' && names.has(name));
  }
}

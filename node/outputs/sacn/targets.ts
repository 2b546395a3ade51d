import { type Destination, parseDestination, type SacnSettings } from '../../core/output-settings.ts';
import type { Link, OpenUdp, UdpSocket } from '../../core/ports.ts';
import { familyOf, isLoopback, Routes } from '../links.ts';
import { SACN_PORT } from './tables.ts';

type Family = Link['family'];

interface Receiver {
  readonly text: string;
  readonly address: string;
  readonly port: number;
  readonly family: Family;
  reachable: boolean;
}

interface Way {
  readonly link: Link;
  readonly socket: UdpSocket;
}

/**
 * Where the packets go: a socket for every interface that multicast leaves by, and one of each family for the receivers of
 * unicast. Follows the links; what has no way out is dropped and counted.
 */
export class Targets {
  /** Datagrams handed to the system. */
  packets = 0;
  /** Datagrams dropped because their link was away. */
  dropped = 0;
  readonly #settings: SacnSettings;
  readonly #openUdp: OpenUdp;
  readonly #onError: (code: string) => void;
  readonly #routes = new Routes();
  readonly #receivers: Receiver[];
  readonly #unicast = new Map<Family, UdpSocket>();
  #ways: readonly Way[] = [];
  #waysAway: readonly string[] = [];

  constructor(settings: SacnSettings, openUdp: OpenUdp, onError: (code: string) => void) {
    this.#settings = settings;
    this.#openUdp = openUdp;
    this.#onError = onError;
    const texts = settings.to === 'multicast' ? [] : settings.to;
    this.#receivers = texts.map((text) => receiver(parseDestination(text))).filter((entry) => entry !== undefined);
  }

  /** Takes over the links that are up. @returns whether a way has opened that was not there before. */
  relink(links: readonly Link[]): boolean {
    if (!this.#routes.relink(links) && this.#started()) return false;
    const { interface: wanted, family } = this.#settings;
    const chosen = this.#routes.chosen(wanted, family);
    const kept = this.#ways.filter((way) => chosen.some((link) => sameWay(link, way.link)));
    for (const way of this.#ways) if (!kept.includes(way)) way.socket.close();
    const opened = chosen.filter((link) => !kept.some((way) => sameWay(link, way.link)));
    this.#ways = [...kept, ...opened.map((link) => ({ link, socket: this.#openMulticast(link) }))];
    this.#waysAway = this.#routes.away(wanted, family);
    return this.#relinkReceivers() || (this.#multicasts() && opened.length > 0);
  }

  /** Sends the data of a universe: to its group by every way, or to every receiver. @returns how many datagrams went out. */
  sendData(packet: Uint8Array, group: string): number {
    if (this.#multicasts()) return this.sendToGroup(packet, group);
    let sent = 0;
    for (const { address, port, family, reachable } of this.#receivers) {
      const socket = reachable ? this.#unicast.get(family) : undefined;
      if (socket === undefined) this.dropped++;
      else {
        socket.send(packet, port, address);
        sent++;
      }
    }
    this.packets += sent;
    return sent;
  }

  /** Synchronization and discovery are multicast whatever the data are (sections 6.3.3 and 12). */
  sendToGroup(packet: Uint8Array, group: string): number {
    for (const { socket } of this.#ways) socket.send(packet, SACN_PORT, group);
    const sent = this.#ways.length;
    this.packets += sent;
    // With no link at all there is still one datagram that ought to have gone.
    this.dropped += sent === 0 ? Math.max(1, this.#waysAway.length) : this.#waysAway.length;
    return sent;
  }

  close(): void {
    for (const { socket } of this.#ways) socket.close();
    for (const socket of this.#unicast.values()) socket.close();
    this.#ways = [];
    this.#unicast.clear();
  }

  /** Whether data can go nowhere at all. */
  get waiting(): boolean {
    return this.#multicasts() ? this.#ways.length === 0 : !this.#receivers.some(({ reachable }) => reachable);
  }

  /** What data should go to and cannot: interfaces or receivers. */
  get away(): readonly string[] {
    if (this.#multicasts()) return this.#waysAway.length > 0 || this.#ways.length > 0 ? this.#waysAway : ['any interface'];
    return this.#receivers.filter(({ reachable }) => !reachable).map(({ text }) => text);
  }

  describe(): string {
    if (!this.#multicasts()) return this.#receivers.map(({ text, reachable }) => (reachable ? text : `${text} (away)`)).join(', ');
    const present = this.#ways.map(({ link }) => (link.internal ? `${link.name} (this computer only)` : link.name));
    return `multicast on ${[...present, ...this.away.map((name) => `${name} (away)`)].join(', ')}`;
  }

  #multicasts(): boolean {
    return this.#settings.to === 'multicast';
  }

  #started(): boolean {
    return this.#ways.length > 0 || this.#unicast.size > 0;
  }

  #openMulticast({ family, name, address }: Link): UdpSocket {
    const multicastInterface = family === 'IPv4' ? address : `::%${name}`;
    return this.#openUdp({ family, port: 0, multicastInterface, onError: this.#onError });
  }

  #relinkReceivers(): boolean {
    let opened = false;
    for (const entry of this.#receivers) {
      const before = entry.reachable;
      entry.reachable = this.#reaches(entry);
      if (entry.reachable && !before) opened = true;
      if (!this.#unicast.has(entry.family)) {
        this.#unicast.set(entry.family, this.#openUdp({ family: entry.family, port: 0, onError: this.#onError }));
      }
    }
    return opened;
  }

  #reaches({ address, family }: Receiver): boolean {
    const wanted = this.#settings.interface;
    if (isLoopback(address) || wanted === undefined) return this.#routes.reaches(address);
    return this.#routes.reaches(address) && this.#routes.chosen(wanted, family).length > 0;
  }
}

function receiver(destination: Destination | undefined): Receiver | undefined {
  const family = destination && familyOf(destination.address);
  if (destination === undefined || family === undefined) return undefined;
  const { address, port = SACN_PORT } = destination;
  return { text: family === 'IPv4' ? `${address}:${port}` : `[${address}]:${port}`, address, port, family, reachable: false };
}

/** An interface that comes back with another address, index or card needs a new socket: the old one is bound to what is gone. */
const sameWay = (a: Link, b: Link): boolean =>
  a.name === b.name && a.address === b.address && a.scope === b.scope && a.mac === b.mac && a.family === b.family;

import { type Destination, parseDestination, type SacnSettings } from '../../core/output-settings.ts';
import type { Link, OutputHost, UdpSocket } from '../../core/ports.ts';
import type { Millis, Universe } from '../../core/units.ts';
import { Routes } from '../links.ts';
import { Neighbours } from '../neighbours.ts';
import { familyOf, isLoopback } from '../subnet.ts';
import { groupOf, SACN_PORT } from './tables.ts';

type Family = Link['family'];

interface Receiver {
  readonly text: string;
  readonly address: string;
  readonly port: number;
  readonly family: Family;
  /** Whether its link is there. */
  reachable: boolean;
}

interface Way {
  readonly link: Link;
  readonly socket: UdpSocket;
}

/** Somebody who got the data under other settings and is to hear that they end: a receiver, or the groups behind a way. */
interface Parting {
  readonly family: Family;
  readonly socket: UdpSocket;
  readonly receiver?: Receiver;
}

/**
 * Where the packets go: a socket for every interface that multicast leaves by, and one of each family for the receivers of
 * unicast. Follows the links; what has no way out is dropped and counted.
 */
export class Targets {
  /** Datagrams handed to the system. */
  packets = 0;
  /** Datagrams dropped because there was no way. */
  dropped = 0;
  readonly #host: OutputHost;
  readonly #onError: (code: string) => void;
  readonly #routes = new Routes();
  readonly #neighbours: Neighbours;
  readonly #unicast = new Map<Family, UdpSocket>();
  #settings: SacnSettings;
  #receivers: readonly Receiver[];
  #ways: readonly Way[] = [];
  #waysAway: readonly string[] = [];
  #parting: readonly Parting[] = [];
  #now: Millis = 0;

  constructor(settings: SacnSettings, host: OutputHost, onError: (code: string) => void) {
    this.#settings = settings;
    this.#host = host;
    this.#onError = onError;
    this.#receivers = receiversOf(settings);
    this.#neighbours = new Neighbours(
      host.neighbourhood,
      (address) => this.#routes.linkTo(address),
      (packet, port, address) => this.#unicast.get(familyOf(address) ?? 'IPv4')?.send(packet, port, address),
    );
  }

  /** Goes elsewhere from now on. Who got data and will get none any more waits for {@link part}. */
  settle(settings: SacnSettings): void {
    const before = this.#dataWays();
    const ways = this.#ways;
    this.#settings = settings;
    this.#receivers = receiversOf(settings);
    this.#direct();
    const now = this.#dataWays();
    const gone = before.filter((one) => !now.some((other) => sameParting(one, other)));
    this.#parting = [...this.#parting, ...gone];
    for (const way of ways) if (!this.#ways.includes(way)) this.#closeUnlessParting(way.socket);
  }

  /** Takes over the links that are up. @returns whether a way has opened that was not there before. */
  relink(links: readonly Link[]): boolean {
    if (!this.#routes.relink(links) && this.#started()) return false;
    this.#neighbours.forget();
    const before = this.#ways;
    const reached = this.#receivers.filter(({ reachable }) => reachable);
    this.#direct();
    for (const way of before) if (!this.#ways.includes(way)) this.#closeUnlessParting(way.socket);
    if (this.#multicasts()) return this.#ways.some((way) => !before.includes(way));
    return this.#receivers.some((one) => one.reachable && !reached.includes(one));
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

  /** Sends the data of a universe: to its group by every way, or to every receiver. @returns how many datagrams went out. */
  sendData(packet: Uint8Array, group: string): number {
    if (this.#multicasts()) return this.sendToGroup(packet, group);
    let sent = 0;
    for (const { address, port, family, reachable } of this.#receivers) {
      const socket = reachable && this.#neighbours.reaches(address, this.#now) ? this.#unicast.get(family) : undefined;
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

  /** Whether somebody waits for {@link part}. */
  get parting(): boolean {
    return this.#parting.length > 0;
  }

  /** Sends the last packets of a universe to those who will get none any more. */
  sendParting(packet: Uint8Array, universe: Universe): void {
    for (const { family, socket, receiver } of this.#parting) {
      socket.send(packet, receiver?.port ?? SACN_PORT, receiver?.address ?? groupOf(family, universe));
      this.packets++;
    }
  }

  /** All has been said to those who wait. */
  part(): void {
    const sockets = this.#parting.map(({ socket }) => socket);
    this.#parting = [];
    const used = new Set([...this.#ways.map(({ socket }) => socket), ...this.#unicast.values()]);
    for (const socket of new Set(sockets)) if (!used.has(socket)) socket.close();
  }

  close(): void {
    this.part();
    for (const { socket } of this.#ways) socket.close();
    for (const socket of this.#unicast.values()) socket.close();
    this.#ways = [];
    this.#unicast.clear();
  }

  /** Whether data can go nowhere at all. */
  get waiting(): boolean {
    return this.#multicasts() ? this.#ways.length === 0 : this.#receivers.every((one) => !this.#isThere(one));
  }

  /** What data should go to and cannot: interfaces or receivers. */
  get away(): readonly string[] {
    if (this.#multicasts()) return this.#waysAway.length > 0 || this.#ways.length > 0 ? this.#waysAway : ['any interface'];
    return this.#receivers.filter(({ reachable }) => !reachable).map(({ text }) => text);
  }

  /** Receivers whose link is there, but who do not answer. */
  get silent(): readonly string[] {
    if (this.#multicasts()) return [];
    return this.#receivers.filter((one) => one.reachable && !this.#isThere(one)).map(({ text }) => text);
  }

  describe(): string {
    if (!this.#multicasts()) return this.#receivers.map((one) => one.text + this.#trouble(one)).join(', ');
    const present = this.#ways.map(({ link }) => (link.internal ? `${link.name} (this computer only)` : link.name));
    return `multicast on ${[...present, ...this.away.map((name) => `${name} (away)`)].join(', ')}`;
  }

  #trouble(one: Receiver): string {
    if (!one.reachable) return ' (away)';
    return this.#isThere(one) ? '' : ' (does not answer)';
  }

  #isThere({ reachable, address }: Receiver): boolean {
    return reachable && !this.#neighbours.isSilent(address, this.#now);
  }

  #multicasts(): boolean {
    return this.#settings.to === 'multicast';
  }

  #started(): boolean {
    return this.#ways.length > 0 || this.#unicast.size > 0;
  }

  /** Sockets for the settings and the links as they are. Those that serve already stay. */
  #direct(): void {
    const { interface: wanted, family } = this.#settings;
    const before = this.#ways;
    this.#ways = this.#routes
      .chosen(wanted, family)
      .map((link) => before.find((way) => sameWay(link, way.link)) ?? { link, socket: this.#openMulticast(link) });
    this.#waysAway = this.#routes.away(wanted, family);
    for (const one of this.#receivers) {
      one.reachable = this.#reaches(one);
      if (!this.#unicast.has(one.family)) this.#unicast.set(one.family, this.#openUnicast(one.family));
    }
  }

  #dataWays(): readonly Parting[] {
    if (this.#multicasts()) return this.#ways.map(({ link: { family }, socket }) => ({ family, socket }));
    return this.#receivers.flatMap((receiver) => {
      const socket = receiver.reachable ? this.#unicast.get(receiver.family) : undefined;
      return socket === undefined ? [] : [{ family: receiver.family, socket, receiver }];
    });
  }

  #closeUnlessParting(socket: UdpSocket): void {
    if (!this.#parting.some((one) => one.socket === socket)) socket.close();
  }

  #openMulticast({ family, name, address }: Link): UdpSocket {
    const multicastInterface = family === 'IPv4' ? address : `::%${name}`;
    return this.#host.openUdp({ family, port: 0, multicastInterface, onError: this.#onError });
  }

  #openUnicast(family: Family): UdpSocket {
    return this.#host.openUdp({ family, port: 0, onError: this.#onError });
  }

  #reaches({ address, family }: Receiver): boolean {
    const wanted = this.#settings.interface;
    if (isLoopback(address) || wanted === undefined) return this.#routes.reaches(address);
    return this.#routes.reaches(address) && this.#routes.chosen(wanted, family).length > 0;
  }
}

function receiversOf({ to }: SacnSettings): Receiver[] {
  return to === 'multicast' ? [] : to.map((text) => receiver(parseDestination(text))).filter((entry) => entry !== undefined);
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

const sameParting = (a: Parting, b: Parting): boolean => a.socket === b.socket && a.receiver?.text === b.receiver?.text;

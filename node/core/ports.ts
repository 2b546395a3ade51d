import type { Levels } from './levels.ts';
import type { OutputSettings } from './output-settings.ts';
import type { OutputReport } from './report.ts';
import type { Millis, Universe } from './units.ts';

/** Time comes in as an argument or through this; nothing but `system/` reads the machine's clocks. */
export interface Clock {
  /** What plays goes by this. Never goes back or jumps; its origin means nothing, but all threads share it. It does not outlive a boot. */
  now(): Millis;
  /** What is written down for people, and what must be known after a boot: milliseconds since the epoch. It may step, as clocks do. */
  wall(): Millis;
}

/** How much a line matters, the gravest first: those severities of syslog (RFC 5424 section 6.2.1) that are used, by their numbers there. */
export const severities = { error: 3, warning: 4, info: 6 } as const;
export type Severity = keyof typeof severities;

/** Lines for whoever runs the node. */
export interface Log {
  /** A trouble that somebody may have to see to, or its end. */
  (line: string): void;
  /** Something ends or is lost by it. */
  error(line: string): void;
  /** All is as it should be. */
  info(line: string): void;
  /** A trouble. What strangers can bring about: the first line of a kind is written, of those that follow only how many there were, once a minute. */
  once(kind: string, line: string): void;
}

/** One address of one network interface that is up and has a carrier. */
export interface Link {
  readonly name: string;
  readonly family: 'IPv4' | 'IPv6';
  readonly address: string;
  readonly netmask: string;
  readonly mac: string;
  /** True for loopback. */
  readonly internal: boolean;
  /** IPv6 zone index, 0 where there is none. */
  readonly scope: number;
}

export interface UdpOptions {
  readonly family: 'IPv4' | 'IPv6';
  /** Port to bind; 0 takes any. */
  readonly port: number;
  /** Address of the interface that multicast leaves by; absent: the system's choice. For IPv6 `::%name`. */
  readonly multicastInterface?: string;
  /** Groups to join on that interface (at most 20 a socket on Linux). */
  readonly groups?: readonly string[];
  readonly broadcast?: boolean;
  /** Routers that a multicast may pass, and one; absent: 1. */
  readonly multicastTtl?: number;
  readonly onMessage?: (data: Uint8Array, from: { address: string; port: number }) => void;
  /** Every failure of the socket or of a send, by its system code (`ENETUNREACH`…). Called on a later turn, or at once while a socket is not to be had. */
  readonly onError: (code: string) => void;
}

/** A datagram socket that outlives its troubles: it never throws, and opens itself again after an error that closed it. */
export interface UdpSocket {
  /** Hands `packet` to the kernel before it returns, in the usual case; leave the bytes alone until the next turn all the same. */
  send(packet: Uint8Array, port: number, address: string): void;
  close(): void;
}

export type OpenUdp = (options: UdpOptions) => UdpSocket;

/** What the system knows of the neighbours on its IPv4 networks, at this moment. It never throws. */
export interface Neighbourhood {
  /** What is asked from here on is looked up afresh. */
  look(): void;
  /**
   * `known`: a datagram to `address` leaves at once. `asked`: the system keeps it until the neighbour has told its hardware address.
   * `none`: it has had no reason to ask, or has given up.
   */
  state(address: string): 'known' | 'asked' | 'none';
  /** Whether what goes by an interface leaves it. Links, which are looked at less often, miss a short cut. */
  leads(name: string): boolean;
}

/** What an output is given when it is built: everything that it may know of the outside. */
export interface OutputHost {
  readonly openUdp: OpenUdp;
  readonly neighbourhood: Neighbourhood;
  /** Uniform in 0..1, for the delays that a protocol wants random. */
  readonly random: () => number;
  /** One line for the log; an output logs a trouble when it begins and when it ends, not in between. */
  readonly log: (line: string) => void;
}

/**
 * One way out of the node. The engine calls every method from its own thread and none may throw: a failing network costs
 * datagrams, never a frame. An output sends only inside `flush`, `tend` and `stop`, so that pacing is the engine's business alone.
 */
export interface Output {
  readonly id: string;
  /** Goes on under other settings of the same id and protocol: what stays keeps its sequence, what ends is told. */
  settle(settings: OutputSettings, now: Millis): void;
  /** Universes to carry from now on, ascending. What the protocol asks for on leaving a universe happens here. */
  carry(universes: readonly Universe[], now: Millis): void;
  /** Everybody is told again with the next frame: who must do without packets for a while shall have heard just before. */
  repeat(): void;
  /** The links as they are now; called at the start and on every change. Sockets, memberships and own addresses follow it. */
  relink(links: readonly Link[], now: Millis): void;
  /**
   * Sends what changed, what must be repeated and what is due by itself (keep-alive, discovery, polls).
   * @returns how many data packets of universes went out: the engine keeps E1.11's refresh limit by it.
   */
  flush(levels: Levels, now: Millis): number;
  /** Between frames, at {@link dueAt} and at least ten times a second: sends what is due by itself. @returns as `flush` does. */
  tend(now: Millis): number;
  /** When it must be tended to at the latest, infinite while a tenth of a second will do. */
  readonly dueAt: Millis;
  /** Says goodbye on the wire and closes. Nothing is sent afterwards. */
  stop(now: Millis): void;
  report(now: Millis): OutputReport;
}

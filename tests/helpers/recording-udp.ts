import type { Link, Neighbourhood, OutputHost, UdpOptions, UdpSocket } from '../../node/core/ports.ts';
import type { Millis } from '../../node/core/units.ts';
import type { FakeClock } from './fake-clock.ts';

export interface SentDatagram {
  readonly at: Millis;
  /** The bytes as they were when they were handed over. */
  readonly bytes: Uint8Array;
  readonly address: string;
  readonly port: number;
  readonly socket: UdpOptions;
}

/** A network in memory: keeps every datagram, and fails or delivers on request. Errors arrive on the next {@link turn}, as they do in life. */
export class RecordingUdp {
  readonly sent: SentDatagram[] = [];
  readonly open = new Set<UdpOptions>();
  readonly log: string[] = [];
  /** System code that every send is to fail with. */
  failWith: string | undefined;
  readonly neighbourhood = new FakeNeighbourhood();
  readonly host: OutputHost;
  readonly #clock: FakeClock;
  readonly #inFlight: { live: Uint8Array; copy: Uint8Array }[] = [];
  readonly #late: (() => void)[] = [];

  constructor(clock: FakeClock) {
    this.#clock = clock;
    this.host = {
      openUdp: (options) => this.#open(options),
      neighbourhood: this.neighbourhood,
      random: () => 0.5,
      log: (line) => this.log.push(line),
    };
  }

  /** Ends the current turn of the event loop. Throws if somebody changed a packet before the kernel had surely read it. */
  turn(): void {
    for (const { live, copy } of this.#inFlight.splice(0)) {
      if (!Buffer.from(live.buffer, live.byteOffset, live.length).equals(copy)) throw new Error('a packet in flight was changed');
    }
    for (const report of this.#late.splice(0)) report();
  }

  /** Hands a datagram to every open socket on `port`. */
  receive(data: Uint8Array, from: { address: string; port: number }, port: number): void {
    for (const socket of this.open) if (socket.port === port) socket.onMessage?.(data, from);
  }

  /** What was sent since the last call. */
  take(): SentDatagram[] {
    return this.sent.splice(0);
  }

  #open(socket: UdpOptions): UdpSocket {
    this.open.add(socket);
    return {
      send: (packet, port, address) => {
        if (!this.open.has(socket)) throw new Error('a send on a closed socket');
        const code = this.failWith;
        if (code !== undefined) {
          this.#late.push(() => socket.onError(code));
          return;
        }
        const copy = Uint8Array.from(packet);
        this.neighbourhood.sentTo(address);
        this.#inFlight.push({ live: packet, copy });
        this.sent.push({ at: this.#clock.now(), bytes: copy, address, port, socket });
      },
      close: () => this.open.delete(socket),
    };
  }
}

/** Neighbours as Linux knows them: by default all of them, and every interface has a carrier. */
export class FakeNeighbourhood implements Neighbourhood {
  /** Who does not answer when the system asks. */
  readonly mute = new Set<string>();
  /** Who needs no asking. */
  readonly elsewhere = new Set<string>();
  readonly noCarrier = new Set<string>();
  /** Answers come before the question's datagram has been handed over. */
  swift = false;
  readonly #states = new Map<string, 'asked' | 'none'>();

  look(): void {}

  state(address: string): 'known' | 'asked' | 'none' {
    return this.#states.get(address) ?? 'known';
  }

  leads(name: string): boolean {
    return !this.noCarrier.has(name);
  }

  /** As when a carrier is lost: who was known has to be asked again. */
  flush(...addresses: readonly string[]): void {
    for (const address of addresses) this.#states.set(address, 'none');
  }

  /** The answers to what was asked come in. */
  answer(): void {
    for (const [address, state] of this.#states) if (state === 'asked' && !this.mute.has(address)) this.#states.delete(address);
  }

  /** Linux asks when it is to send. */
  sentTo(address: string): void {
    if (this.#states.get(address) !== 'none' || this.elsewhere.has(address)) return;
    this.#states.set(address, 'asked');
    if (this.swift) this.answer();
  }
}

/** A link as the system would list it; addresses from the blocks reserved for documentation (RFC 5737, RFC 3849). */
export function link(name: string, address: string, rest: Partial<Link> = {}): Link {
  const family = address.includes(':') ? 'IPv6' : 'IPv4';
  const netmask = family === 'IPv4' ? '255.255.255.0' : 'ffff:ffff:ffff:ffff::';
  return { name, family, address, netmask, mac: '02:00:00:00:00:01', internal: false, scope: 0, ...rest };
}

export const loopback = link('lo', '127.0.0.1', { netmask: '255.0.0.0', mac: '00:00:00:00:00:00', internal: true });

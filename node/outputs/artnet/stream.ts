import type { UniverseReport } from '../../core/report.ts';
import { type Hertz, MILLIS_PER_SECOND, type Millis, type PortAddress, type Universe } from '../../core/units.ts';
import { Pace } from '../pacing.ts';
import type { Sequence } from '../sequence.ts';
import { artDmx, fillArtDmx } from './write.ts';

/** A frame may come this much early without being held back: the engine's own jitter. The rate over a second stays within the limit. */
const JITTER: Millis = 5;

export interface Destination {
  readonly address: string;
  readonly port: number;
}

/** Who is to get a universe. */
export interface Subscriber extends Destination {
  /** Most ArtDmx a second that it takes; 0: as many as the engine sends. */
  readonly rate: Hertz;
}

interface Receiver extends Destination {
  interval: Millis;
  nextAt: Millis;
  /** It has not had the packet as it now is. */
  owed: boolean;
}

/** Hands a datagram on; false when it was dropped. */
export type Send = (packet: Uint8Array, port: number, address: string) => boolean;

/** One universe as it is sent: its packet, its pace, its one sequence, and those who get it. */
export class Stream {
  readonly universe: Universe;
  readonly portAddress: PortAddress;
  readonly #pace = new Pace();
  readonly #packet: Uint8Array;
  readonly #sequence: Sequence;
  #receivers: readonly Receiver[] = [];
  #packets = 0;
  #lastSentAt: Millis | null = null;

  constructor(universe: Universe, portAddress: PortAddress, sequence: Sequence) {
    this.universe = universe;
    this.portAddress = portAddress;
    this.#packet = artDmx(portAddress);
    this.#sequence = sequence;
  }

  /** Who gets it. They are told apart by address and port. */
  get receivers(): readonly Destination[] {
    return this.#receivers;
  }

  /** Everybody gets the picture again at once. */
  restart(): void {
    this.#pace.restart();
  }

  /** From now on these get it. Whoever is new gets the picture at once. */
  direct(subscribers: readonly Subscriber[]): void {
    const before = this.#receivers;
    this.#receivers = subscribers.map(({ address, port, rate }) => {
      const known = before.find((one) => one.address === address && one.port === port);
      const receiver = known ?? { address, port, interval: 0, nextAt: Number.NEGATIVE_INFINITY, owed: false };
      receiver.interval = rate > 0 ? MILLIS_PER_SECOND / rate : 0;
      return receiver;
    });
    if (this.#receivers.some((receiver) => !before.includes(receiver))) this.restart();
  }

  /**
   * Sends the packet to those who may have it now. Somebody whose RefreshRate is low gets the latest one when their time comes, with
   * the number that the others had it under.
   * @returns whether any datagram went out.
   */
  flush(slots: Uint8Array, now: Millis, send: Send): boolean {
    if (this.#receivers.length === 0) return false;
    if (this.#pace.due(slots, now)) this.#renew();
    return this.#sendOwed(now, send);
  }

  /** Between frames: the packet as it is, to those who must hear from us or whose time has come. @returns as {@link flush}. */
  tend(now: Millis, send: Send): boolean {
    if (this.#receivers.length === 0) return false;
    if (this.#pace.keepAliveDue(now)) this.#renew();
    return this.#sendOwed(now, send);
  }

  report(): UniverseReport {
    return { universe: this.universe, packets: this.#packets, lastSentAt: this.#lastSentAt };
  }

  #sendOwed(now: Millis, send: Send): boolean {
    let sent = false;
    for (const receiver of this.#receivers) {
      if (!receiver.owed || now < receiver.nextAt - JITTER) continue;
      receiver.owed = false;
      receiver.nextAt = Math.max(now, receiver.nextAt) + receiver.interval;
      if (send(this.#packet, receiver.port, receiver.address)) sent = true;
    }
    if (sent) {
      this.#packets++;
      this.#lastSentAt = now;
    }
    return sent;
  }

  #renew(): void {
    fillArtDmx(this.#packet, this.#sequence.take(), this.#pace.slots);
    for (const receiver of this.#receivers) receiver.owed = true;
  }
}

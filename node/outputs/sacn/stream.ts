import type { UniverseReport } from '../../core/report.ts';
import type { Millis, Universe } from '../../core/units.ts';
import { Pace } from '../pacing.ts';
import type { Sequence } from '../sequence.ts';
import { type DataOptions, fillData, newDataPacket, type Source, terminationOf } from './packets.ts';
import { groupOf } from './tables.ts';

/** One universe as it is sent: its packet, its pace, and its one sequence (E1.31-2018 section 6.2.5), whoever the packet goes to. */
export class UniverseStream {
  readonly universe: Universe;
  readonly pace = new Pace();
  readonly #sequence: Sequence;
  #group = '';
  #packet: Uint8Array = new Uint8Array(0);
  #packets = 0;
  #lastSentAt: Millis | null = null;

  constructor(universe: Universe, sequence: Sequence) {
    this.universe = universe;
    this.#sequence = sequence;
  }

  /** What its packets bear besides slots and number from now on; everybody is told at once. */
  dress(source: Source, fields: DataOptions, family: 'IPv4' | 'IPv6'): void {
    this.#packet = newDataPacket(source, fields);
    this.#group = groupOf(family, fields.universe);
    this.pace.restart();
  }

  get group(): string {
    return this.#group;
  }

  /** Whether anybody has heard of this stream. */
  get begun(): boolean {
    return this.#lastSentAt !== null;
  }

  /** The packet with the slots that its pace took over last; the same bytes until the next call. */
  next(): Uint8Array {
    fillData(this.#packet, this.#sequence.take(), this.pace.slots);
    return this.#packet;
  }

  termination(): Uint8Array {
    return terminationOf(this.#packet, this.#sequence.take());
  }

  /** Notes that the last packet went to somebody. */
  sent(now: Millis): void {
    this.#packets++;
    this.#lastSentAt = now;
  }

  report(): UniverseReport {
    return { universe: this.universe, packets: this.#packets, lastSentAt: this.#lastSentAt };
  }
}

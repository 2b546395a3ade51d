import type { UniverseReport } from '../../core/report.ts';
import type { Byte, Millis, Universe } from '../../core/units.ts';
import { Pace } from '../pacing.ts';
import { groupOf } from './addresses.ts';
import { type DataOptions, fillData, newDataPacket, type Source, terminationOf } from './packets.ts';

/** One universe as it is sent: its packet, its pace, and its one sequence (E1.31-2018 section 6.2.5), whoever the packet goes to. */
export class UniverseStream {
  readonly universe: Universe;
  readonly group: string;
  readonly pace = new Pace();
  readonly #packet: Uint8Array;
  #sequence: Byte;
  #packets = 0;
  #lastSentAt: Millis | null = null;

  /** `sequence`: the number of the first packet. */
  constructor(source: Source, fields: DataOptions, family: 'IPv4' | 'IPv6', sequence: Byte) {
    this.universe = fields.universe;
    this.group = groupOf(family, fields.universe);
    this.#packet = newDataPacket(source, fields);
    this.#sequence = sequence;
  }

  /** The number that the next packet will bear. */
  get sequence(): Byte {
    return this.#sequence;
  }

  /** Whether anybody has heard of this stream. */
  get begun(): boolean {
    return this.#lastSentAt !== null;
  }

  /** The packet with the slots that its pace took over last; the same bytes until the next call. */
  next(): Uint8Array {
    fillData(this.#packet, this.#take(), this.pace.slots);
    return this.#packet;
  }

  termination(): Uint8Array {
    return terminationOf(this.#packet, this.#take());
  }

  /** Notes that the last packet went to somebody. */
  sent(now: Millis): void {
    this.#packets++;
    this.#lastSentAt = now;
  }

  report(): UniverseReport {
    return { universe: this.universe, packets: this.#packets, lastSentAt: this.#lastSentAt };
  }

  #take(): Byte {
    const sequence = this.#sequence;
    this.#sequence = (sequence + 1) & 0xff;
    return sequence;
  }
}

import { Latest } from './latest.ts';
import { SLOTS } from './levels.ts';
import type { Hertz, Millis, Universe } from './units.ts';

/** Bytes before the slots: how many of them were sent. */
const COUNT = 2;

/** The newest levels of one stream of somebody else, in memory that all threads see: one takes them in, any of them reads. */
export class HeardLevels {
  readonly #latest: Latest<Uint8Array>;
  readonly #row = new Uint8Array(COUNT + SLOTS);

  constructor(memory?: SharedArrayBuffer) {
    this.#latest = new Latest(Uint8Array, COUNT + SLOTS, memory);
  }

  get memory(): SharedArrayBuffer {
    return this.#latest.memory;
  }

  take(slots: Uint8Array): void {
    this.#row[0] = slots.length >> 8;
    this.#row[1] = slots.length & 0xff;
    this.#row.set(slots, COUNT);
    this.#latest.publish(this.#row);
  }

  /** As many slots as were sent, slot 1 at index 0. */
  read(): Uint8Array {
    this.#latest.copy(this.#row);
    const [high, low] = this.#row as unknown as [number, number];
    return this.#row.slice(COUNT, COUNT + high * 256 + low);
  }
}

/** What one sender sends on one of our universes. */
export interface HeardUniverse {
  readonly universe: Universe;
  /** sACN only. */
  readonly priority?: number;
  readonly perSecond: Hertz;
  readonly lastSeenAt: Millis;
  /** As many as it sends, slot 1 at index 0. */
  readonly slots: Uint8Array;
}

/** Another controller, with all that is heard of it on our universes. */
export interface Sender {
  /** The same as long as it is heard. */
  readonly id: string;
  readonly protocol: 'sacn' | 'artnet';
  /** As it calls itself. */
  readonly name: string;
  readonly address: string;
  /** Ascending. */
  readonly universes: readonly HeardUniverse[];
}

/** Who else is heard. */
export interface Listened {
  readonly senders: readonly Sender[];
  /** Names of those who send sACN as preview data alone, which is for pictures on a screen (E1.31-2018 section 6.2.6). */
  readonly previews: readonly string[];
  /** Where ArtDmx can be heard: an Art-Net output of ours hears it on the universes that it sends alone. */
  readonly artnet: readonly Universe[];
}

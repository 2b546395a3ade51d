import type { Universe } from './units.ts';

/** Slots of a universe, ANSI E1.11: at most 512 after the START code. */
export const SLOTS = 512;
const HEADER_WORDS = 4;
const BEGUN = 0;
const DONE = 1;
const SIGNAL = 2;

/**
 * The DMX slots of every universe in memory that both threads see. The engine writes a frame between `begin` and `end`;
 * readers copy with `snapshot`, which never gives half a frame. A header word doubles as the engine's alarm bell.
 */
export class Levels {
  readonly universes: readonly Universe[];
  readonly memory: SharedArrayBuffer;
  readonly #header: Int32Array;
  readonly #slots: Uint8Array[];
  readonly #indexOf: ReadonlyMap<Universe, number>;

  constructor(universes: readonly Universe[], memory = new SharedArrayBuffer(HEADER_WORDS * 4 + universes.length * SLOTS)) {
    this.universes = universes;
    this.memory = memory;
    this.#header = new Int32Array(memory, 0, HEADER_WORDS);
    this.#slots = universes.map((_, i) => new Uint8Array(memory, HEADER_WORDS * 4 + i * SLOTS, SLOTS));
    this.#indexOf = new Map(universes.map((universe, i) => [universe, i]));
  }

  /** The live slots, slot 1 at index 0. Throws for a universe that the show does not use: that would be a bug. */
  slots(universe: Universe): Uint8Array {
    const index = this.#indexOf.get(universe);
    const slots = index === undefined ? undefined : this.#slots[index];
    if (slots === undefined) throw new Error(`universe ${universe} has no levels`);
    return slots;
  }

  has(universe: Universe): boolean {
    return this.#indexOf.has(universe);
  }

  begin(): void {
    Atomics.add(this.#header, BEGUN, 1);
  }

  end(): void {
    Atomics.add(this.#header, DONE, 1);
  }

  /** Frames finished since the engine started, modulo 2^32. */
  frames(): number {
    return Atomics.load(this.#header, DONE) >>> 0;
  }

  /** Copies one whole frame out. Tries again while the engine is writing; after a few tries takes what is there. */
  snapshot(universe: Universe, into = new Uint8Array(SLOTS)): Uint8Array {
    const slots = this.slots(universe);
    for (let attempt = 0; attempt < 8; attempt++) {
      const done = Atomics.load(this.#header, DONE);
      into.set(slots);
      if (Atomics.load(this.#header, BEGUN) === done) return into;
    }
    return into;
  }

  /** Wakes the engine: there is a message for it. */
  ring(): void {
    Atomics.add(this.#header, SIGNAL, 1);
    Atomics.notify(this.#header, SIGNAL);
  }

  /** Engine only: what the bell showed last, to be handed to {@link sleep}. */
  bell(): number {
    return Atomics.load(this.#header, SIGNAL);
  }

  /** Engine only: sleeps up to `millis`, or until someone rang since `heard`. */
  sleep(heard: number, millis: number): void {
    Atomics.wait(this.#header, SIGNAL, heard, millis);
  }
}

import { Latest } from './latest.ts';
import type { Universe } from './units.ts';

/** Slots of a universe, ANSI E1.11: at most 512 after the START code. */
export const SLOTS = 512;

/**
 * The DMX slots of every universe. The engine works on its own `slots` and publishes them when a frame is whole; whoever looks on, in any
 * thread, copies the last whole frame out with `snapshot`.
 */
export class Levels {
  readonly universes: readonly Universe[];
  readonly #latest: Latest<Uint8Array>;
  /** Engine only: {@link slots} of all universes, one behind the other. */
  readonly whole: Uint8Array;
  readonly #slots: readonly Uint8Array[];
  readonly #indexOf: ReadonlyMap<Universe, number>;

  constructor(universes: readonly Universe[], memory?: SharedArrayBuffer) {
    this.universes = universes;
    this.#latest = new Latest(Uint8Array, universes.length * SLOTS, memory);
    this.whole = new Uint8Array(universes.length * SLOTS);
    this.#slots = universes.map((_, i) => this.whole.subarray(i * SLOTS, (i + 1) * SLOTS));
    this.#indexOf = new Map(universes.map((universe, i) => [universe, i]));
  }

  /** What the threads share, to be handed to the other one. */
  get memory(): SharedArrayBuffer {
    return this.#latest.memory;
  }

  /** Engine only: the slots that it works on, slot 1 at index 0. Throws for a universe that the show does not use: that would be a bug. */
  slots(universe: Universe): Uint8Array {
    return this.#slots[this.#index(universe)] as Uint8Array;
  }

  /** Engine only: where in {@link whole} a universe begins. Throws as {@link slots}. */
  from(universe: Universe): number {
    return this.#index(universe) * SLOTS;
  }

  has(universe: Universe): boolean {
    return this.#indexOf.has(universe);
  }

  /** Engine only: the slots are a whole frame now. */
  publish(): void {
    this.#latest.publish(this.whole);
  }

  /** Frames published, modulo 2^32. */
  frames(): number {
    return this.#latest.count();
  }

  /** The slots of a universe in the last whole frame; all 0 before the first. Throws for a universe that the show does not use. */
  snapshot(universe: Universe, into = new Uint8Array(SLOTS)): Uint8Array {
    this.#latest.copy(into, this.#index(universe) * SLOTS);
    return into;
  }

  #index(universe: Universe): number {
    const index = this.#indexOf.get(universe);
    if (index === undefined) throw new Error(`universe ${universe} has no levels`);
    return index;
  }
}

import { cellsOf, layOut, type Rig, type RigFixture } from './rig.ts';

/**
 * Fixtures of one kind differ by their places alone, in the frame and among the slots. What is worked out for one of them, as if it stood by
 * itself with its cells counted from 0, holds for all: so a frame of many lamps reads little memory, which is what takes its time.
 */
export class Kinds {
  readonly #numbers = new Map<object, number>();
  readonly #known = new Map<string, Rig>();

  /** The rig of such a fixture alone. */
  of(fixture: RigFixture): Rig {
    const { type, mode, adjust, further = [] } = fixture;
    const key = `${this.#number(type)} ${this.#number(mode)} ${further.length} ${JSON.stringify(adjust)}`;
    const known = this.#known.get(key) ?? layOut([fixture]);
    this.#known.set(key, known);
    return known;
  }

  #number(of: object): number {
    const number = this.#numbers.get(of) ?? this.#numbers.size;
    this.#numbers.set(of, number);
    return number;
  }
}

/** Where the cells of a fixture begin in the frame; they lie one behind the other. */
export const firstCellOf = (fixture: RigFixture): number => cellsOf(fixture)[0]?.[1] ?? 0;

import type { Frame } from '../../core/frame.ts';
import type { Hertz } from '../../core/units.ts';
import { type LightLaw, SEEN } from '../../rig/light-law.ts';
import type { LitFixture, LitKind } from '../../rig/light-of.ts';
import { type Mixtures, mixturesOf } from '../../rig/mixtures.ts';
import type { Rig } from '../../rig/rig.ts';

const ROW = 3;

/**
 * What a frame shows of every lamp. It depends on nothing but the cells that a lamp's light comes from: where they hold what they held when
 * they were looked at last, that costs but the comparison.
 */
export class Sight {
  /** Of every lamp in its turn {@link SEEN} numbers. */
  readonly seen: Float64Array;
  /** Of each fixture {@link ROW} numbers: its place among the kinds, where it begins in the frame, and the place of its first lamp. */
  readonly #rows: Uint32Array;
  readonly #kinds: readonly LitKind[];
  /** Of every lamp the place of its fixture. */
  readonly #fixtureOf: Uint32Array;
  readonly #mixtures: Mixtures;
  /** Laid out as a frame: what was looked at last. */
  readonly #known: Float64Array;

  constructor(rig: Rig, fixtures: readonly LitFixture[]) {
    const kinds = [...new Set(fixtures.map(({ kind }) => kind))];
    const numbers = new Map(kinds.map((kind, i) => [kind, i]));
    let lamps = 0;
    this.#kinds = kinds;
    this.#fixtureOf = Uint32Array.from(fixtures.flatMap(({ kind }, place) => kind.laws.map(() => place)));
    this.#rows = Uint32Array.from(
      fixtures.flatMap(({ kind, first }) => {
        lamps += kind.laws.length;
        return [numbers.get(kind) as number, first, lamps - kind.laws.length];
      }),
    );
    this.#mixtures = mixturesOf(rig);
    this.#known = new Float64Array(rig.rest.length).fill(Number.NaN);
    this.seen = new Float64Array(SEEN * lamps);
  }

  look(frame: Frame): void {
    for (let row = 0; row < this.#rows.length; row += ROW) this.#lookAt(row, frame);
  }

  /** Lets the strobes of a lamp flash so often and no more, and looks again. @returns whether that changed the frame */
  slow(lamp: number, frame: Frame, hertz: Hertz): boolean {
    const row = ROW * (this.#fixtureOf[lamp] as number);
    const { laws } = this.#kinds[this.#rows[row] as number] as LitKind;
    const law = laws[lamp - (this.#rows[row + 2] as number)] as LightLaw;
    if (!law.slow(frame, this.#rows[row + 1] as number, hertz)) return false;
    this.#lookAt(row, frame);
    return true;
  }

  #lookAt(row: number, frame: Frame): void {
    const { laws, watched } = this.#kinds[this.#rows[row] as number] as LitKind;
    const first = this.#rows[row + 1] as number;
    const known = this.#known;
    let differs = false;
    for (let i = 0; i < watched.length; i++) {
      const cell = first + (watched[i] as number);
      if (known[cell] === frame[cell]) continue;
      known[cell] = frame[cell] as number;
      differs = true;
    }
    if (!differs) return;
    const lamp = this.#rows[row + 2] as number;
    for (let i = 0; i < laws.length; i++) (laws[i] as LightLaw).see(frame, first, this.#mixtures, this.seen, SEEN * (lamp + i));
  }
}

import type { EmitterName } from '../../core/attributes.ts';
import { attribute } from '../../core/attributes.ts';
import { type Chromaticity, gamutOf, nearestIn, toUv, toXy } from './gamut.ts';
import { oklabToXyz, type Triple, xyzToOklab } from './oklab.ts';
import { brightest, type Emitter, emitterAt } from './solve.ts';

/** What a lamp can make of a colour. */
export interface Reach {
  /** The colour at the lamp's brightest, in Oklab, where a Y of 1 is all its emitters at full. */
  readonly oklab: Triple;
  /** Luminance of that, in the unit of the emitters' flux. */
  readonly luminance: number;
  /** False where it is the nearest that the lamp can do, by distance in CIE 1976 u'v'. */
  readonly exact: boolean;
}

/** Measured light of emitters by name; those left out are taken at their nominal light. */
export type Measured = Readonly<
  Partial<Record<EmitterName, { readonly x: number; readonly y: number; readonly flux: number } | undefined>>
>;

/** By emitter, the level at which it gives what is said of it at full; those left out: 1. */
export type Trim = Readonly<Partial<Record<EmitterName, number | undefined>>>;

/**
 * The colours of one kind of lamp, from its 1 to 8 emitters. It mixes a colour from Oklab as a frame holds it, remembering the last one:
 * lamps of a kind mostly wear the same.
 */
export class LampColour {
  readonly #emitters: readonly Emitter[];
  readonly #gamut: readonly Chromaticity[];
  /** Luminance with everything at full, in the unit of the emitters' flux. */
  readonly full: number;
  readonly #xyz = new Float64Array(3);
  readonly #last = new Float64Array(3).fill(Number.NaN);
  readonly #levels: Float64Array;

  constructor(names: readonly EmitterName[], measured: Measured, trim: Trim = {}) {
    this.#emitters = names.map((name) => {
      const { x, y, flux } = measured[name] ?? nominal(name);
      return emitterAt(x, y, flux / (trim[name] ?? 1));
    });
    this.#gamut = gamutOf(this.#emitters);
    this.full = this.#emitters.reduce((sum, { Y }) => sum + Y, 0);
    this.#levels = new Float64Array(names.length);
  }

  reach(x: number, y: number): Reach {
    const { at, inside } = nearestIn(this.#gamut, toUv(x, y));
    const [nearX, nearY] = toXy(at);
    const luminance = brightest(this.#emitters, nearX, nearY, new Float64Array(this.#emitters.length));
    const share = luminance / this.full;
    return { oklab: xyzToOklab([(nearX / nearY) * share, share, ((1 - nearX - nearY) / nearY) * share]), luminance, exact: inside };
  }

  /** Levels 0..1 of the emitters for a colour of a frame, into `out`. What is brighter than the lamp can do is as bright as it can. */
  mix(lightness: number, a: number, b: number, out: Float64Array): void {
    const last = this.#last;
    if (last[0] !== lightness || last[1] !== a || last[2] !== b) {
      this.#remix(lightness, a, b);
      last[0] = lightness;
      last[1] = a;
      last[2] = b;
    }
    out.set(this.#levels);
  }

  /** CIE XYZ of the light at these levels, where a Y of 1 is everything at full. */
  light(levels: ArrayLike<number>): Triple {
    const sum = { X: 0, Y: 0, Z: 0 };
    for (const [i, { X, Y, Z }] of this.#emitters.entries()) {
      const level = levels[i] ?? 0;
      sum.X += level * X;
      sum.Y += level * Y;
      sum.Z += level * Z;
    }
    return [sum.X / this.full, sum.Y / this.full, sum.Z / this.full];
  }

  #remix(lightness: number, a: number, b: number): void {
    const levels = this.#levels;
    oklabToXyz(lightness, a, b, this.#xyz);
    const X = this.#xyz[0] as number;
    const Y = this.#xyz[1] as number;
    const Z = this.#xyz[2] as number;
    const sum = X + Y + Z;
    if (Y <= 1e-7 || sum <= 0) {
      levels.fill(0);
      return;
    }
    let x = X / sum;
    let y = Y / sum;
    let luminance = brightest(this.#emitters, x, y, levels);
    if (luminance === 0) {
      [x, y] = toXy(nearestIn(this.#gamut, toUv(x, y)).at);
      luminance = brightest(this.#emitters, x, y, levels);
    }
    const wanted = Y * this.full;
    if (wanted < luminance) for (let i = 0; i < levels.length; i++) levels[i] = ((levels[i] as number) * wanted) / luminance;
  }
}

function nominal(name: EmitterName): { x: number; y: number; flux: number } {
  const [x, y, flux] = attribute(name).emitter ?? [1 / 3, 1 / 3, 1];
  return { x, y, flux };
}

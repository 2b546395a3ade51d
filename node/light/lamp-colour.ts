import type { EmitterName } from '../core/attributes.ts';
import { attribute } from '../core/attributes.ts';
import type { Triple } from '../core/vector.ts';
import { ColourSolid } from './colour-solid.ts';
import { difference } from './difference.ts';
import { type Emitter, emitterAt } from './emitter.ts';
import { Gamut } from './gamut.ts';
import { LowSteps } from './low-steps.ts';
import { oklabToXyz, xyzToOklab } from './oklab.ts';

/** What a lamp can make of a colour. */
export interface Reach {
  /** The colour at the lamp's brightest, in Oklab, where a Y of 1 is all its emitters at full. */
  readonly oklab: Triple;
  /** Luminance of that, in the unit of the emitters' flux. */
  readonly luminance: number;
  /** False where it is the nearest that the lamp can do, by distance in Oklab at equal luminance. */
  readonly exact: boolean;
  /** How far it is from what was asked for: CIEDE2000 at equal luminance. */
  readonly off: number;
}

/** Measured light of emitters by name; those left out are taken at their nominal light. */
export type Measured = Readonly<
  Partial<Record<EmitterName, { readonly x: number; readonly y: number; readonly flux: number } | undefined>>
>;

/** By emitter, the level at which it gives what is said of it at full; those left out: 1. */
export type Trim = Readonly<Partial<Record<EmitterName, number | undefined>>>;

/** The colours of one kind of lamp, from any number of emitters. It mixes a colour from Oklab as a frame holds it. */
export class LampColour {
  readonly #emitters: readonly Emitter[];
  /** What its emitters can mix, however strong each of them is: lamps that differ by their trim alone may share it. */
  readonly gamut: Gamut;
  /** Luminance with everything at full, in the unit of the emitters' flux. */
  readonly full: number;
  /** The same as its type tells it, without the trim. */
  readonly told: number;
  readonly #solid: ColourSolid;
  readonly #low: LowSteps;
  readonly #xyz = new Float64Array(3);
  readonly #at = new Float64Array(2);

  constructor(names: readonly EmitterName[], measured: Measured, trim: Trim = {}, gamut?: Gamut) {
    const scale = nominalScale(names, measured);
    this.#emitters = names.map((name) => {
      const { x, y, flux } = measured[name] ?? nominal(name, scale);
      return emitterAt(x, y, flux / (trim[name] ?? 1));
    });
    this.gamut = gamut ?? new Gamut(this.#emitters);
    this.full = this.#emitters.reduce((sum, { Y }) => sum + Y, 0);
    this.told = this.#emitters.reduce((sum, { Y }, i) => sum + Y * (trim[names[i] as EmitterName] ?? 1), 0);
    this.#solid = new ColourSolid(this.#emitters);
    this.#low = new LowSteps(this.#emitters);
  }

  reach(x: number, y: number): Reach {
    const { x: nearX, y: nearY, exact } = this.gamut.nearest(x, y);
    const levels = new Float64Array(this.#emitters.length);
    this.#solid.brightest(Float64Array.of(nearX, nearY), levels);
    const luminance = this.light(levels)[1] * this.full;
    const share = luminance / this.full;
    const off = exact ? 0 : difference([nearX, nearY, 1 - nearX - nearY], [x, y, 1 - x - y]);
    return { oklab: xyzToOklab([(nearX / nearY) * share, share, ((1 - nearX - nearY) / nearY) * share]), luminance, exact, off };
  }

  /**
   * Levels 0..1 of the emitters for the colour whose three coordinates lie in `frame` from `at` on, into `out`. What is brighter than the
   * lamp can do is as bright as it can.
   */
  mix(frame: Float64Array, at: number, out: Float64Array): void {
    oklabToXyz(frame, at, this.#xyz);
    const X = this.#xyz[0] as number;
    const Y = this.#xyz[1] as number;
    const sum = X + Y + (this.#xyz[2] as number);
    if (Y <= 1e-7 || sum <= 0) {
      out.fill(0);
      return;
    }
    const xy = this.#at;
    xy[0] = X / sum;
    xy[1] = Y / sum;
    if (!this.#solid.brightest(xy, out)) {
      this.gamut.moveInto(xy);
      this.#solid.brightest(xy, out);
    }
    let most = 0;
    for (let i = 0; i < out.length; i++) most += (out[i] as number) * (this.#emitters[i] as Emitter).Y;
    const wanted = Y * this.full;
    if (wanted < most) for (let i = 0; i < out.length; i++) out[i] = ((out[i] as number) * wanted) / most;
  }

  /** What is left of a mixture in channels whose steps are so large: {@link LowSteps}. */
  settle(levels: Float64Array, step: number): void {
    this.#low.settle(levels, step);
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
}

function nominal(name: EmitterName, scale: number): { x: number; y: number; flux: number } {
  const [x, y, flux] = attribute(name).emitter ?? [1 / 3, 1 / 3, 1];
  return { x, y, flux: flux * scale };
}

/** What nobody has measured is as strong beside what somebody has as it nominally is. */
function nominalScale(names: readonly EmitterName[], measured: Measured): number {
  let [told, usual] = [0, 0];
  for (const name of names) {
    const flux = measured[name]?.flux;
    if (flux === undefined) continue;
    told += flux;
    usual += nominal(name, 1).flux;
  }
  return usual === 0 ? 1 : told / usual;
}

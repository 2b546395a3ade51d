import { difference } from './difference.ts';
import type { Emitter } from './emitter.ts';

/** How far the hue of a few steps may be from the colour that is asked for (CIEDE2000, at one luminance); beyond that a lamp is rather dark. */
export const MOST_OFF = 8;
/** Steps of the strongest emitter from which on rounding alone stays well within that. */
const MANY = 48;

/**
 * Levels of emitters at the low end of their channels, where a step is a good part of the light. They go down by whole steps of the strongest,
 * the others in proportion to it, and only by those that keep the hue: what lies between gives the next lower one, what lies below the first is
 * dark. So every channel goes the same way as the level, and an emitter rounds out only where the mixture bears it.
 */
export class LowSteps {
  readonly #emitters: readonly Emitter[];
  readonly #wanted = new Float64Array(3);
  readonly #made = new Float64Array(3);

  constructor(emitters: readonly Emitter[]) {
    this.#emitters = emitters;
  }

  /** Levels of one colour, changed in place. @param step level of one step of their channels */
  settle(levels: Float64Array, step: number): void {
    // Most lamps of a frame stop here, so this is short enough to be built into its caller: else every step would be put on the heap.
    let strongest = 0;
    for (let i = 0; i < levels.length; i++) strongest = Math.max(strongest, levels[i] as number);
    if (Math.round(strongest / step) < MANY) this.#stepDown(levels, step, strongest);
  }

  #stepDown(levels: Float64Array, step: number, strongest: number): void {
    const steps = Math.round(strongest / step);
    this.#sum(levels, 1, 0, this.#wanted);
    let good = steps;
    while (good > 0 && !this.#isGood(levels, good / strongest)) good--;
    for (let i = 0; i < levels.length; i++)
      levels[i] = good === 0 ? 0 : Math.round(((levels[i] as number) * good) / strongest) * step;
  }

  #isGood(levels: Float64Array, by: number): boolean {
    this.#sum(levels, by, 1, this.#made);
    return difference(this.#made, this.#wanted) <= MOST_OFF;
  }

  /** XYZ of the emitters at so many times these levels; `whole`: in whole steps. */
  #sum(levels: Float64Array, by: number, whole: 0 | 1, into: Float64Array): void {
    into.fill(0);
    for (let i = 0; i < levels.length; i++) {
      const { X, Y, Z } = this.#emitters[i] as Emitter;
      const level = (levels[i] as number) * by;
      const given = whole === 1 ? Math.round(level) : level;
      into[0] = (into[0] as number) + given * X;
      into[1] = (into[1] as number) + given * Y;
      into[2] = (into[2] as number) + given * Z;
    }
  }
}

import { differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { attribute, type EmitterName } from '../../node/core/attributes.ts';
import { emitterAt } from '../../node/light/emitter.ts';
import { LampColour } from '../../node/light/lamp-colour.ts';
import { LowSteps, MOST_OFF } from '../../node/light/low-steps.ts';

const STEP = 1 / 255;
const sets = [
  ['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'],
  ['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B', 'ColorAdd_W'],
  ['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B', 'ColorAdd_W', 'ColorAdd_RY'],
  ['ColorAdd_WW', 'ColorAdd_CW'],
  ['ColorAdd_R'],
] as const satisfies readonly (readonly EmitterName[])[];
const lamps = sets.map((names: readonly EmitterName[]) => {
  const emitters = names.map((name) => emitterAt(...(attribute(name).emitter as [number, number, number])));
  return { emitters, low: new LowSteps(emitters), colour: new LampColour(names, {}) };
});

/** CIE Lab relative to D65 at a luminance of 18 %, by hand from CIE 15: no code of ours. */
function labOf(emitters: readonly { X: number; Y: number; Z: number }[], levels: ArrayLike<number>) {
  const [X, Y, Z] = emitters.reduce(
    ([x, y, z], one, i) => [x + one.X * (levels[i] ?? 0), y + one.Y * (levels[i] ?? 0), z + one.Z * (levels[i] ?? 0)],
    [0, 0, 0] as [number, number, number],
  );
  const f = (t: number): number => (t > 0.008856 ? Math.cbrt(t) : 7.787 * t + 16 / 116);
  const [x, y, z] = [f((X / Y) * (0.18 / 0.95046)), f(0.18), f((Z / Y) * (0.18 / 1.08906))];
  return { mode: 'lab65' as const, l: 116 * y - 16, a: 500 * (x - y), b: 200 * (y - z) };
}
const judge = differenceCiede2000();

const share = (most: number) => fc.integer({ min: 0, max: 100_000 }).map((n) => (n / 100_000) * most);
const which = fc.constantFrom(...lamps);
const weights = fc.array(share(1), { minLength: 5, maxLength: 5 });
const light = share(0.4);

/** Steps of the channels for a mixture at a share of its light. */
function stepsOf({ low, emitters }: (typeof lamps)[number], mixture: readonly number[], share: number): number[] {
  const levels = Float64Array.from(emitters, (_, i) => (mixture[i] ?? 0) * share);
  low.settle(levels, STEP);
  return [...levels].map((level) => Math.round(level / STEP));
}

describe('The low end of a lamp', () => {
  test('keeps the hue within the stated difference while it gives light (CIEDE2000 by culori)', () => {
    let lit = 0;
    fc.assert(
      fc.property(which, weights, light, (lamp, mixture, share) => {
        const steps = stepsOf(lamp, mixture, share);
        if (steps.every((step) => step === 0)) return;
        lit++;
        expect(judge(labOf(lamp.emitters, steps), labOf(lamp.emitters, mixture))).toBeLessThan(MOST_OFF + 0.1);
      }),
      { numRuns: 5000 },
    );
    expect(lit).toBeGreaterThan(3000);
  });

  test('goes the way of the level: no channel rises where the light goes down', () => {
    fc.assert(
      fc.property(which, weights, light, light, (lamp, mixture, one, other) => {
        const [less, more] = [stepsOf(lamp, mixture, Math.min(one, other)), stepsOf(lamp, mixture, Math.max(one, other))];
        for (const [i, step] of less.entries()) expect(step).toBeLessThanOrEqual(more[i] ?? 0);
      }),
      { numRuns: 5000 },
    );
  });

  test('gives white in white, or nothing: never one emitter of it', () => {
    const [rgb] = lamps;
    const mixture = new Float64Array(3);
    rgb?.colour.mix(Float64Array.of(1, 0, 0), 0, mixture);
    const seen = Array.from({ length: 200 }, (_, i) =>
      stepsOf(rgb as (typeof lamps)[number], [...mixture], i / 200 / 40).join(' '),
    );
    expect(new Set(seen)).toEqual(new Set(['0 0 0', ...[1, 2, 3, 4, 5, 6].map((step) => `${step} ${step} ${step}`)]));
  });

  test('of one emitter is every step there is', () => {
    const red = lamps.at(-1) as (typeof lamps)[number];
    expect([0.49, 0.51, 1, 2.2, 17.6].map((steps) => stepsOf(red, [1], steps * STEP))).toEqual([[0], [1], [1], [2], [18]]);
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { equalTo, lessEq, solve } from 'yalps';
import { brightest, type Emitter, emitterAt } from '../../node/light/solve.ts';

/** Five emitters at their places on the spectral locus (CIE 1931). No example is published; yalps and javascript-lp-solver agree on its optima to 8 digits. */
const five = {
  red: emitterAt(0.7006, 0.2993, 100),
  amber: emitterAt(0.5752, 0.4242, 90),
  green: emitterAt(0.1142, 0.8262, 200),
  blue: emitterAt(0.1355, 0.0399, 35),
  white: emitterAt(0.3127, 0.329, 250),
};
const D65 = [0.3127, 0.329] as const;

const mixOf = (emitters: readonly Emitter[], [x, y]: readonly [number, number]) => {
  const levels = new Float64Array(emitters.length);
  const can = brightest(emitters, Float64Array.of(x, y), levels);
  const flux = emitters.reduce((sum, { Y }, i) => sum + Y * (levels[i] ?? 0), 0);
  expect(flux > 0).toBe(can);
  return { flux, levels: [...levels] };
};

/** The same programme for a general solver (yalps, MIT): an oracle that shares no code with ours. */
function oracle(emitters: readonly Emitter[], [x, y]: readonly [number, number]): number {
  const variables = Object.fromEntries(
    emitters.map(({ X, Y, Z }, i) => [`e${i}`, { flux: Y, p: X - (x / y) * Y, q: Z - ((1 - x - y) / y) * Y, [`e${i}`]: 1 }]),
  );
  const constraints = { p: equalTo(0), q: equalTo(0), ...Object.fromEntries(emitters.map((_, i) => [`e${i}`, lessEq(1)])) };
  const { status, result } = solve({ direction: 'maximize', objective: 'flux', constraints, variables }, { precision: 1e-9 });
  return status === 'optimal' ? result : 0;
}

describe('The brightest mixture of a colour', () => {
  test('sRGB primaries in their own proportions make D65 with everything full (IEC 61966-2-1)', () => {
    const primaries = [emitterAt(0.64, 0.33, 0.212639), emitterAt(0.3, 0.6, 0.7151687), emitterAt(0.15, 0.06, 0.0721923)];
    const { flux, levels } = mixOf(primaries, D65);
    expect(flux).toBeCloseTo(1, 4);
    for (const level of levels) expect(level).toBeCloseTo(1, 3);
  });

  test('D65 of the worked set from red, green and blue: 305.1657 lm', () => {
    const { flux, levels } = mixOf([five.red, five.green, five.blue], D65);
    expect(flux).toBeCloseTo(305.1657, 3);
    expect(levels[0]).toBeCloseTo(0.897841, 5);
    expect(levels[1]).toBe(1);
    expect(levels[2]).toBeCloseTo(0.439473, 5);
  });

  test('D65 of the whole worked set: 616.4687 lm', () => {
    const { flux, levels } = mixOf(Object.values(five), D65);
    expect(flux).toBeCloseTo(616.4687, 3);
    expect(levels[0]).toBeCloseTo(0.578624, 5);
    expect(levels[3]).toBeCloseTo(0.53161, 5);
    expect([levels[1], levels[2], levels[4]]).toEqual([1, 1, 1]);
  });

  test('3000 K of the worked set: 496.3955 lm, blue out', () => {
    // The chromaticity by Planck's law over the CIE 1931 data, rounded to four places: so is the flux.
    const { flux, levels } = mixOf(Object.values(five), [0.4369, 0.4041]);
    expect(flux / 496.3955).toBeCloseTo(1, 2);
    expect(levels[3]).toBe(0);
    expect(levels[2]).toBeCloseTo(0.681, 2);
    expect(levels[4]).toBeCloseTo(0.681, 2);
  });

  test('what lies outside the gamut gives no light and says so', () => {
    expect(mixOf(Object.values(five), [0.72, 0.27])).toEqual({ flux: 0, levels: [0, 0, 0, 0, 0] });
  });

  test('a general solver finds nothing brighter and nothing else, over random sets of emitters and colours', () => {
    // As data sheets give them, to three places; equal ones among them.
    const chromaticity = fc
      .tuple(fc.integer({ min: 50, max: 700 }), fc.integer({ min: 50, max: 800 }))
      .map(([x, y]) => [x / 1000, y / 1000] as const);
    const emitter = fc.tuple(chromaticity, fc.double({ min: 5, max: 300, noNaN: true }));
    let mixed = 0;
    fc.assert(
      fc.property(
        fc.array(emitter, { minLength: 3, maxLength: 8 }),
        fc.array(fc.double({ min: 0.01, max: 1, noNaN: true }), { minLength: 8, maxLength: 8 }),
        (rows, weights) => {
          const emitters = rows.map(([[x, y], flux]) => emitterAt(x, y, flux));
          // A colour that these emitters make in some proportion, so that it lies inside.
          const sum = emitters.reduce(
            ([X, Y, Z], one, i) =>
              [X + one.X * (weights[i] ?? 0), Y + one.Y * (weights[i] ?? 0), Z + one.Z * (weights[i] ?? 0)] as const,
            [0, 0, 0] as readonly [number, number, number],
          );
          const whole = sum[0] + sum[1] + sum[2];
          const wanted = [sum[0] / whole, sum[1] / whole] as const;
          const ours = mixOf(emitters, wanted);
          const theirs = oracle(emitters, wanted);
          // Where emitters all but coincide the general solver gives up; that the mixture is the wanted colour is seen either way.
          const made = emitters.reduce(
            ([X, Y, Z], one, i) => {
              const level = ours.levels[i] ?? 0;
              return [X + one.X * level, Y + one.Y * level, Z + one.Z * level] as const;
            },
            [0, 0, 0] as readonly [number, number, number],
          );
          const light = made[0] + made[1] + made[2];
          expect(Math.hypot(made[0] / light - wanted[0], made[1] / light - wanted[1])).toBeLessThan(1e-6);
          if (theirs > 0) {
            mixed++;
            expect(Math.abs(ours.flux - theirs)).toBeLessThan(1e-4 * Math.max(1, theirs));
          }
          expect(ours.levels.every((level) => level >= 0 && level <= 1)).toBe(true);
        },
      ),
      { numRuns: 2000 },
    );
    expect(mixed).toBeGreaterThan(1500);
  });
});

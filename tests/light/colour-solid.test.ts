import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { equalTo, lessEq, solve } from 'yalps';
import { ColourSolid } from '../../node/light/colour-solid.ts';
import { type Emitter, emitterAt } from '../../node/light/emitter.ts';

/** Five emitters at their places on the spectral locus (CIE 1931). No example is published; yalps and javascript-lp-solver agree on its optima to 8 digits. */
const five = {
  red: emitterAt(0.7006, 0.2993, 100),
  amber: emitterAt(0.5752, 0.4242, 90),
  green: emitterAt(0.1142, 0.8262, 200),
  blue: emitterAt(0.1355, 0.0399, 35),
  white: emitterAt(0.3127, 0.329, 250),
};
const D65 = [0.3127, 0.329] as const;

const mixOf = (emitters: readonly Emitter[], [x, y]: readonly [number, number, ...unknown[]]) => {
  const levels = new Float64Array(emitters.length);
  const can = new ColourSolid(emitters).brightest(Float64Array.of(x, y), levels);
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

const MOST = 15;
const weights = fc.array(fc.double({ min: 0.01, max: 1, noNaN: true }), { minLength: MOST, maxLength: MOST });
/** Chromaticities as data sheets give them, to three places. */
const chromaticity = fc
  .tuple(fc.integer({ min: 50, max: 700 }), fc.integer({ min: 50, max: 800 }))
  .map(([x, y]) => [x / 1000, y / 1000] as const);
const any = fc.tuple(chromaticity, fc.double({ min: 5, max: 300, noNaN: true })).map(([[x, y], flux]) => emitterAt(x, y, flux));
/** Up to 15 emitters, of which some may be equal, some between two others in one line, some dark. */
const sets = fc
  .tuple(
    fc.array(any, { minLength: 1, maxLength: 8 }),
    fc.array(
      fc.tuple(
        fc.constantFrom('equal', 'between', 'dark'),
        fc.nat(),
        fc.nat(),
        fc.constantFrom(0.25, 0.5, 0.8),
        fc.integer({ min: 10, max: 200 }),
      ),
      {
        maxLength: MOST - 8,
      },
    ),
  )
  .map(([own, others]) => [
    ...own,
    ...others.map(([kind, i, j, share, flux]) => {
      const [one, other] = [own[i % own.length] as Emitter, own[j % own.length] as Emitter];
      if (kind === 'dark') return { X: 0, Y: 0, Z: 0 };
      const [x, y] = between(one, other, kind === 'equal' ? 0 : share);
      return emitterAt(x, y, flux);
    }),
  ]);

/** Chromaticity of emitters at these levels. */
function xyOf(emitters: readonly Emitter[], levels: readonly number[]): readonly [x: number, y: number] {
  let [X, Y, Z] = [0, 0, 0];
  for (const [i, one] of emitters.entries()) {
    const level = levels[i] ?? 0;
    [X, Y, Z] = [X + one.X * level, Y + one.Y * level, Z + one.Z * level];
  }
  return [X / (X + Y + Z), Y / (X + Y + Z)];
}

/** Chromaticity of a mixture of two in which the second has this share, with a strength of 100. */
function between(one: Emitter, other: Emitter, share: number): readonly [x: number, y: number, flux: number] {
  return [...xyOf([one, other], [1 - share, share]), 100];
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

  test('emitters of one chromaticity are as far up as each other, and give what one of their strength together gives', () => {
    const { red, green, blue } = five;
    const halves = [emitterAt(0.7006, 0.2993, 30), green, emitterAt(0.7006, 0.2993, 70), blue];
    const [together, apart] = [mixOf([red, green, blue], D65), mixOf(halves, D65)];
    expect(apart.flux).toBeCloseTo(together.flux, 9);
    expect(apart.levels[0]).toBe(apart.levels[2]);
    expect(apart.levels[0]).toBeCloseTo(together.levels[0] ?? 0, 9);
  });

  test('a lamp of one colour, of two, and of many in one line gives what lies on it and nothing else', () => {
    const { red, green } = five;
    const middle = emitterAt(...between(red, green, 0.5));
    expect(mixOf([green], [0.1142, 0.8262]).levels).toEqual([1]);
    expect(mixOf([green, green], [0.1142, 0.8262]).levels).toEqual([1, 1]);
    expect(mixOf([green], D65).flux).toBe(0);
    for (const set of [
      [red, green],
      [red, middle, green],
      [red, middle, green, middle],
    ]) {
      const [x, y] = between(red, green, 0.3);
      const { flux } = mixOf(set, [x, y]);
      expect(Math.abs(flux - oracle(set, [x, y]))).toBeLessThan(1e-6 * flux);
      expect(mixOf(set, D65).flux).toBe(0);
    }
  });

  test('no light at all is no emitter', () => {
    const nothing = { X: 0, Y: 0, Z: 0 };
    expect(mixOf([nothing], D65)).toEqual({ flux: 0, levels: [0] });
    expect(mixOf([], D65)).toEqual({ flux: 0, levels: [] });
    const { flux, levels } = mixOf([nothing, five.red, five.green, nothing, five.blue], D65);
    expect(flux).toBeCloseTo(305.1657, 3);
    expect([levels[0], levels[3]]).toEqual([0, 0]);
  });

  test('a fade between two colours changes no level by a jump, whatever the emitters', () => {
    fc.assert(
      fc.property(sets, fc.tuple(weights, weights), (emitters, [from, to]) => {
        const solid = new ColourSolid(emitters);
        const [start, end] = [xyOf(emitters, from), xyOf(emitters, to)];
        const STEPS = 400;
        let before: number[] | undefined;
        let [largest, longest] = [0, 0];
        for (let i = 0; i <= STEPS; i++) {
          const at = Float64Array.from(start, (value, k) => value + (((end[k] ?? 0) - value) * i) / STEPS);
          const levels = new Float64Array(emitters.length);
          solid.brightest(at, levels);
          const light = [...levels].map((level, k) => level * (emitters[k]?.Y ?? 0));
          const sum = light.reduce((all, one) => all + one, 0);
          const moved = before?.reduce((most, was, k) => Math.max(most, Math.abs(was - (light[k] ?? 0))), 0) ?? 0;
          [largest, longest] = [Math.max(largest, moved), Math.max(longest, sum)];
          before = light;
        }
        // A jump would be a good part of an emitter's light in one of 400 steps.
        expect(largest).toBeLessThan(0.2 * longest + 1e-9);
      }),
      { numRuns: 150, seed: 7 },
    );
  });

  test('a general solver finds nothing brighter and nothing else, over 10,000 random sets of emitters and colours', () => {
    let agreed = 0;
    fc.assert(
      fc.property(sets, weights, (emitters, shares) => {
        // A colour that these emitters make in some proportion, so that it lies inside.
        const wanted = xyOf(emitters, shares);
        const ours = mixOf(emitters, wanted);
        expect(ours.flux).toBeGreaterThan(0);
        const made = xyOf(emitters, ours.levels);
        expect(Math.hypot(made[0] - wanted[0], made[1] - wanted[1])).toBeLessThan(1e-6);
        expect(ours.levels.every((level) => level >= 0 && level <= 1)).toBe(true);
        // Nothing is brighter. Where emitters all but coincide the general solver gives up or stops short; else it finds the same.
        const theirs = oracle(emitters, wanted);
        expect(ours.flux).toBeGreaterThan(theirs - 1e-4 * Math.max(1, theirs));
        if (Math.abs(ours.flux - theirs) < 1e-4 * Math.max(1, theirs)) agreed++;
      }),
      { numRuns: 10_000 },
    );
    expect(agreed).toBeGreaterThan(9900);
  }, 60_000);
});

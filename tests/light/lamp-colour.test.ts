import { readFileSync } from 'node:fs';
import { converter, differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type EmitterName, emitterNames } from '../../node/core/attributes.ts';
import type { Triple } from '../../node/core/vector.ts';
import { emitterAt } from '../../node/light/emitter.ts';
import { type Chromaticity, gamutOf, moveInto, toUv, toXy } from '../../node/light/gamut.ts';
import { LampColour, type Measured } from '../../node/light/lamp-colour.ts';
import { oklabToXyz } from '../../node/light/oklab.ts';

/** The five emitters of `colour-solid.test.ts`. */
const measured: Measured = {
  ColorAdd_R: { x: 0.7006, y: 0.2993, flux: 100 },
  ColorAdd_RY: { x: 0.5752, y: 0.4242, flux: 90 },
  ColorAdd_G: { x: 0.1142, y: 0.8262, flux: 200 },
  ColorAdd_B: { x: 0.1355, y: 0.0399, flux: 35 },
  ColorAdd_W: { x: 0.3127, y: 0.329, flux: 250 },
};
const names = Object.keys(measured) as EmitterName[];
const lamp = new LampColour(names, measured);

const pairs = JSON.parse(readFileSync(new URL('../truth/ciede2000-pairs.json', import.meta.url), 'utf8')) as number[][];
const toLab = converter('lab65');
const difference = differenceCiede2000();
const xyOf = ([X, Y, Z]: Triple): [number, number] => [X / (X + Y + Z), Y / (X + Y + Z)];
const mixed = (of: LampColour, [l, a, b]: Triple, count: number): Float64Array => {
  const levels = new Float64Array(count);
  of.mix(Float64Array.of(l, a, b), 0, levels);
  return levels;
};

describe('What a lamp can do of a colour', () => {
  test('D65 of the worked set: 616.4687 lm, exact', () => {
    const { luminance, exact } = lamp.reach(0.3127, 0.329);
    expect(luminance).toBeCloseTo(616.4687, 3);
    expect(exact).toBe(true);
  });

  test('a colour goes through a frame and comes out of the lamp with its chromaticity, at its brightest', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0.02, max: 1, noNaN: true }), { minLength: 5, maxLength: 5 }), (weights) => {
        const [x, y] = xyOf(lamp.light(weights));
        const { oklab, luminance } = lamp.reach(x, y);
        const light = lamp.light(mixed(lamp, oklab, 5));
        expect(light[1] * lamp.full).toBeCloseTo(luminance, 2);
        const [u, v] = [toUv(...xyOf(light)), toUv(x, y)];
        // Well under the 0.001 of u'v' that an eye tells apart at its best; the Oklab matrices carry ten digits.
        expect(Math.hypot(u.u - v.u, u.v - v.v)).toBeLessThan(1e-5);
      }),
    );
  });

  test('half the luminance is the same chromaticity with every level in proportion', () => {
    const { oklab } = lamp.reach(0.4369, 0.4041);
    const half = oklab.map((part) => part * Math.cbrt(0.5)) as unknown as Triple;
    const [full, dim] = [mixed(lamp, oklab, 5), mixed(lamp, half, 5)];
    for (const [i, level] of full.entries()) expect(dim[i]).toBeCloseTo(level / 2, 5);
  });

  test('a colour outside the gamut becomes the one on its edge that looks most like it, and says so (CIEDE2000 by culori as judge)', () => {
    // At a luminance of 18 %, as CIE Lab relative to D65.
    const look = (x: number, y: number) => toLab({ mode: 'xyz65', x: (x / y) * 0.18, y: 0.18, z: ((1 - x - y) / y) * 0.18 });
    const gamut = gamutOf(names.map((name) => emitterAt(measured[name]?.x ?? 0, measured[name]?.y ?? 1, 1)));
    for (const [x, y] of [
      [0.72, 0.27],
      [0.4, 0.1],
      [0.02, 0.5],
      [0.4, 0.59],
    ] as const) {
      const { exact, luminance, oklab } = lamp.reach(x, y);
      expect(exact).toBe(false);
      expect(luminance).toBeGreaterThan(0);
      const out = new Float64Array(3);
      oklabToXyz(oklab, 0, out);
      const found = difference(look(...xyOf([out[0] ?? 0, out[1] ?? 0, out[2] ?? 0])), look(x, y));
      const walked = gamut.flatMap((from, i) => {
        const to = gamut[(i + 1) % gamut.length] ?? from;
        return Array.from({ length: 200 }, (_, k) => k / 200).map((share) =>
          difference(look(...toXy(from.u + (to.u - from.u) * share, from.v + (to.v - from.v) * share)), look(x, y)),
        );
      });
      // Two measures of the same eye, on very saturated colours: they agree on the place to within 3, where about 1 can just be noticed.
      expect(found).toBeLessThan(Math.min(...walked) + 3);
    }
  });

  test('black gives no light', () => {
    expect([...mixed(lamp, [0, 0, 0], 5)]).toEqual([0, 0, 0, 0, 0]);
  });

  test('a lamp of two whites makes what lies between them, and comes as near as it can to the rest', () => {
    const twoWhites = new LampColour(['ColorAdd_WW', 'ColorAdd_CW'], {
      ColorAdd_WW: { x: 0.4599, y: 0.4106, flux: 100 },
      ColorAdd_CW: { x: 0.3135, y: 0.3236, flux: 100 },
    });
    // The Planckian xy of 2700 K and 6500 K by Planck's law over the CIE 1931 data: at an end only that end burns.
    expect([...mixed(twoWhites, twoWhites.reach(0.4599, 0.4106).oklab, 2)].map((n) => Math.round(n * 1000))).toEqual([1000, 0]);
    const { exact, luminance } = twoWhites.reach(0.2, 0.7);
    expect(exact).toBe(false);
    expect(luminance).toBeGreaterThan(0);
  });

  test('levels stay within 0..1 and the light is never brighter than asked, for any colour and any emitters', () => {
    const some = fc.uniqueArray(fc.constantFrom(...emitterNames), { minLength: 1, maxLength: 8 });
    const part = fc.double({ min: -0.4, max: 0.4, noNaN: true });
    fc.assert(
      fc.property(some, fc.double({ min: 0, max: 1.2, noNaN: true }), part, part, (set, l, a, b) => {
        const of = new LampColour(set, {});
        const levels = mixed(of, [l, a, b], set.length);
        expect(levels.every((level) => level >= 0 && level <= 1)).toBe(true);
        const xyz = new Float64Array(3);
        oklabToXyz([l, a, b], 0, xyz);
        expect(of.light(levels)[1]).toBeLessThanOrEqual(Math.max(0, xyz[1] ?? 0) + 1e-9);
      }),
      { numRuns: 300 },
    );
  });
});

const there = ({ u, v }: Chromaticity) => toXy(u, v);

describe('The judge of differences', () => {
  test('gives all 34 pairs of Sharma, Wu and Dalal (2005) to four places', () => {
    expect(pairs).toHaveLength(34);
    for (const [l1 = 0, a1 = 0, b1 = 0, l2 = 0, a2 = 0, b2 = 0, expected] of pairs)
      expect(difference({ mode: 'lab65', l: l1, a: a1, b: b1 }, { mode: 'lab65', l: l2, a: a2, b: b2 })).toBeCloseTo(
        expected ?? 0,
        4,
      );
  });
});

describe('The chromaticity diagram of CIE 1976', () => {
  test('D65 lies at u\u2032 0.1978, v\u2032 0.4683 (CIE 15)', () => {
    const { u, v } = toUv(0.3127, 0.329);
    expect(u).toBeCloseTo(0.1978, 4);
    expect(v).toBeCloseTo(0.4683, 4);
  });

  test('there and back is the same point', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 0.7, noNaN: true }), fc.double({ min: 0.01, max: 0.8, noNaN: true }), (x, y) => {
        const [backX, backY] = there(toUv(x, y));
        expect(backX).toBeCloseTo(x, 9);
        expect(backY).toBeCloseTo(y, 9);
      }),
    );
  });

  test('what is inside a gamut stays where it is', () => {
    const square = [
      { u: 0, v: 0 },
      { u: 1, v: 0 },
      { u: 1, v: 1 },
      { u: 0, v: 1 },
    ];
    const moved = (u: number, v: number) => {
      const at = Float64Array.of(u, v);
      return { inside: moveInto(square, at), at: [...at] };
    };
    expect(moved(0.5, 0.25)).toEqual({ at: [0.5, 0.25], inside: true });
    expect(moved(2, 0.25)).toEqual({ at: [1, 0.25], inside: false });
    expect(moved(-3, 7)).toEqual({ at: [0, 1], inside: false });
  });
});

import { converter } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AttributeName } from '../../../node/core/attributes.ts';
import { mix } from '../../../node/plan/colour/mix.ts';
import { xyToLinear } from '../../../node/plan/colour/oklab.ts';

const toXyz = converter('xyz65');

const RGB: AttributeName[] = ['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'];
const RGBW: AttributeName[] = [...RGB, 'ColorAdd_W'];
const RGBA: AttributeName[] = [...RGB, 'ColorAdd_RY'];
const RGBWA: AttributeName[] = [...RGBW, 'ColorAdd_RY'];

const mixed = (colour: readonly number[], emitters: readonly AttributeName[]): number[] => {
  const out = new Float64Array(16);
  mix(Float64Array.from(colour), emitters, out);
  return [...out.subarray(0, emitters.length)];
};

/**
 * Linear sRGB of each emitter's light at full. White is D65; amber is GDTF annex B's nominal ColorAdd_RY, 0.477 0.460: linear sRGB
 * 1, 0.4995, -0.0009 by the matrix of IEC 61966-2-1.
 */
const light: Partial<Record<AttributeName, readonly number[]>> = {
  ColorAdd_R: [1, 0, 0],
  ColorAdd_G: [0, 1, 0],
  ColorAdd_B: [0, 0, 1],
  ColorAdd_W: [1, 1, 1],
  ColorAdd_RY: [1, 0.4995, -0.0009],
};
/** CIE 1931 chromaticity of what comes out when the emitters give their light together. */
const chromaticity = (levels: readonly number[], emitters: readonly AttributeName[]): [x: number, y: number] => {
  const [r = 0, g = 0, b = 0] = [0, 1, 2].map((i) =>
    emitters.reduce((sum, name, k) => sum + (levels[k] ?? 0) * (light[name]?.[i] ?? 0), 0),
  );
  const { x, y, z } = toXyz({ mode: 'lrgb', r, g, b });
  return [x / (x + y + z), y / (x + y + z)];
};

const part = fc.oneof(fc.constantFrom(0, 1), fc.double({ min: 0, max: 1, noNaN: true }));
const colour = fc.tuple(part, part, part).filter((parts) => Math.max(...parts) > 0.01);

describe('a mixture', () => {
  it('of red, green and blue is the colour itself, with its strongest part at full', () => {
    expect(mixed([0.5, 0.25, 0.125], RGB)).toEqual([1, 0.5, 0.25]);
  });

  it('gives white to the white emitter alone', () => {
    expect(mixed([1, 1, 1], RGBW)).toEqual([0, 0, 0, 1]);
    expect(mixed([0.2, 0.2, 0.2], RGBW)).toEqual([0, 0, 0, 1]);
  });

  it('gives the white emitter what red, green and blue have in common', () => {
    // 1, 0.75, 0.5 has 0.5 in common: 0.5, 0.25, 0 are left beside a white of 0.5.
    expect(mixed([1, 0.75, 0.5], RGBW)).toEqual([1, 0.5, 0, 1]);
  });

  it('leaves a pure colour to its own emitter', () => {
    expect(mixed([0, 1, 0], RGBWA)).toEqual([0, 1, 0, 0, 0]);
    expect(mixed([1, 0, 0], RGBWA)).toEqual([1, 0, 0, 0, 0]);
  });

  it('gives amber to the amber emitter alone (GDTF annex B: 0.477, 0.460)', () => {
    const [r = 1, g = 1, b = 1, amber] = mixed(xyToLinear(0.477, 0.46), RGBA);
    expect(amber).toBe(1);
    for (const rest of [r, g, b]) expect(rest).toBeCloseTo(0, 3);
  });

  it('of no light is nothing', () => {
    expect(mixed([0, 0, 0], RGBWA)).toEqual([0, 0, 0, 0, 0]);
    expect(mixed([-0.1, 0, -1e-9], RGBW)).toEqual([0, 0, 0, 0]);
  });

  it('takes parts outside the gamut for 0', () => {
    expect(mixed([1, -0.2, 0.5], RGB)).toEqual([1, 0, 0.5]);
  });

  it('is scaled by the emitters that are there, so that two whites match a colour as bright as they can', () => {
    // Amber and white only: 1, 0.6, 0.4 has 0.4 in common; of 0.6, 0.2 amber takes 0.2 / 0.4995.
    const [amber, white] = mixed([1, 0.6, 0.4], ['ColorAdd_RY', 'ColorAdd_W']);
    expect(amber).toBe(1);
    expect(white).toBeCloseTo(0.4 / (0.2 / 0.4995), 6);
    expect(mixed([1, 0.6, 0.4], ['ColorAdd_W'])).toEqual([1]);
  });

  it('never asks for more than full or less than nothing, and drives its strongest emitter at full', () => {
    const emitters = fc.subarray(RGBWA, { minLength: 1 });
    fc.assert(
      fc.property(colour, emitters, (wanted, of) => {
        const levels = mixed(wanted, of);
        for (const one of levels) expect(one >= 0 && one <= 1).toBe(true);
        // A lamp that has nothing of the colour stays dark.
        expect([0, 1]).toContain(Math.max(...levels));
      }),
    );
    fc.assert(
      fc.property(colour, (wanted) => {
        expect(Math.max(...mixed(wanted, RGB))).toBe(1);
      }),
    );
  });

  it("has the same chromaticity with white and amber as without, when white is D65 and amber GDTF's", () => {
    fc.assert(
      fc.property(colour, (wanted) => {
        const plain = chromaticity(mixed(wanted, RGB), RGB);
        for (const [emitters, digits] of [
          [RGBW, 9],
          [RGBA, 2],
          [RGBWA, 2],
        ] as const) {
          const [x, y] = chromaticity(mixed(wanted, emitters), emitters);
          expect(x).toBeCloseTo(plain[0], digits);
          expect(y).toBeCloseTo(plain[1], digits);
        }
      }),
    );
  });

  it("does not care how bright the colour was: brightness is the dimmer's business", () => {
    fc.assert(
      fc.property(colour, fc.double({ min: 0.1, max: 1, noNaN: true }), (wanted, share) => {
        const [full, less] = [
          mixed(wanted, RGBWA),
          mixed(
            wanted.map((one) => one * share),
            RGBWA,
          ),
        ];
        for (const [i, one] of less.entries()) expect(one).toBeCloseTo(full[i] ?? Number.NaN, 9);
      }),
    );
  });
});

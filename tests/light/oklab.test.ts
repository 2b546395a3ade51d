import { converter } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Triple } from '../../node/core/vector.ts';
import { linearToOklab, oklabToLinear, toEncoded, toLinear, xyToLinear } from '../../node/light/oklab.ts';

const toOklab = converter('oklab');
const toLrgb = converter('lrgb');
const toXyz = converter('xyz65');

/** The matrices of CSS Color 4 are printed with ten digits and less; both sides round. */
const PRINTED = 6;

const byte = fc.integer({ min: 0, max: 255 });
const part = fc.double({ min: 0, max: 1, noNaN: true });
const hex = fc.tuple(byte, byte, byte).map((parts) => `#${parts.map((one) => one.toString(16).padStart(2, '0')).join('')}`);

const linearOf = (text: string): Triple => {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => toLinear(Number.parseInt(text.slice(at, at + 2), 16) / 255));
  return [r, g, b];
};
const back = (l: number, a: number, b: number): number[] => {
  const out = new Float64Array(3);
  oklabToLinear([l, a, b], 0, out);
  return [...out];
};

describe("sRGB's transfer function", () => {
  it('gives #808080 a luminance of 0.215861 (IEC 61966-2-1)', () => {
    expect(toLinear(128 / 255)).toBeCloseTo(0.215861, 6);
  });

  it('has the ends and the straight foot of IEC 61966-2-1', () => {
    expect([toLinear(0), toLinear(1)]).toEqual([0, 1]);
    // 0.04045 / 12.92 = 0.0031308...
    expect(toLinear(0.04045)).toBeCloseTo(0.0031308, 7);
    expect(toLinear(0.0404501)).toBeCloseTo(0.0031308, 6);
  });

  it('agrees with culori on every byte', () => {
    for (let value = 0; value <= 255; value++) {
      const { r } = toLrgb(`#${value.toString(16).padStart(2, '0')}0000`);
      expect(toLinear(value / 255)).toBeCloseTo(r, 12);
    }
  });

  it('is undone by its inverse', () => {
    fc.assert(
      fc.property(part, (c) => {
        expect(toEncoded(toLinear(c))).toBeCloseTo(c, 6);
      }),
    );
  });
});

describe('Oklab', () => {
  it('agrees with culori on any sRGB colour', () => {
    fc.assert(
      fc.property(hex, (text) => {
        const { l, a, b } = toOklab(text);
        const [ourL, ourA, ourB] = linearToOklab(linearOf(text));
        expect(ourL).toBeCloseTo(l, PRINTED);
        expect(ourA).toBeCloseTo(a, PRINTED);
        expect(ourB).toBeCloseTo(b, PRINTED);
      }),
      { numRuns: 1000 },
    );
  });

  it('is turned back as culori turns it, inside the gamut and out of it', () => {
    const wild = fc.record({
      mode: fc.constant('oklab' as const),
      l: part,
      a: fc.double({ min: -0.4, max: 0.4, noNaN: true }),
      b: fc.double({ min: -0.4, max: 0.4, noNaN: true }),
    });
    fc.assert(
      fc.property(wild, (colour) => {
        const { r, g, b } = toLrgb(colour);
        const ours = back(colour.l, colour.a, colour.b);
        for (const [i, theirs] of [r, g, b].entries()) expect(ours[i]).toBeCloseTo(theirs, 5);
      }),
      { numRuns: 1000 },
    );
  });

  it('comes back to the light that it was made of', () => {
    fc.assert(
      fc.property(part, part, part, (r, g, b) => {
        const round = back(...linearToOklab([r, g, b]));
        for (const [i, wanted] of [r, g, b].entries()) expect(round[i]).toBeCloseTo(wanted, 5);
      }),
    );
  });

  it('has white at 1 0 0 and black at nothing', () => {
    // CSS Color 4, section 8.4: L 1 is diffuse white, a and b of a neutral are 0.
    const [l, a, b] = linearToOklab([1, 1, 1]);
    expect(l).toBeCloseTo(1, 6);
    expect(a).toBeCloseTo(0, 6);
    expect(b).toBeCloseTo(0, 6);
    expect(linearToOklab([0, 0, 0])).toEqual([0, 0, 0]);
  });
});

describe('a chromaticity', () => {
  it('of D65 is white', () => {
    for (const one of xyToLinear(0.3127, 0.329)) expect(one).toBeCloseTo(1, 3);
  });

  // Primaries of sRGB, IEC 61966-2-1.
  it.each([
    [0.64, 0.33, [1, 0, 0]],
    [0.3, 0.6, [0, 1, 0]],
    [0.15, 0.06, [0, 0, 1]],
  ] as const)('of a primary, %d %d, is that primary alone', (x, y, expected) => {
    for (const [i, one] of xyToLinear(x, y).entries()) expect(one).toBeCloseTo(expected[i] ?? Number.NaN, 3);
  });

  it('of amber is the one that mix() reckons with (GDTF annex B: ColorAdd_RY 0.477, 0.460)', () => {
    const [r, g, b] = xyToLinear(0.477, 0.46);
    expect([r, b]).toEqual([1, 0]);
    expect(g).toBeCloseTo(0.4995, 3);
  });

  it('keeps its place inside the gamut, as culori reckons it, with its strongest part at 1', () => {
    fc.assert(
      fc.property(part, part, part, (r, g, b) => {
        fc.pre(r + g + b > 0.05);
        const sum = ({ x, y, z }: { x: number; y: number; z: number }) => x + y + z;
        const wanted = toXyz({ mode: 'lrgb', r, g, b });
        const [x, y] = [wanted.x / sum(wanted), wanted.y / sum(wanted)];
        const ours = xyToLinear(x, y);
        expect(Math.max(...ours)).toBeCloseTo(1, 12);
        const got = toXyz({ mode: 'lrgb', r: ours[0], g: ours[1], b: ours[2] });
        expect(got.x / sum(got)).toBeCloseTo(x, 4);
        expect(got.y / sum(got)).toBeCloseTo(y, 4);
      }),
    );
  });

  it('outside the gamut is cut, not turned negative', () => {
    // Green of 520 nm on the spectral locus (CIE 1931 colour matching functions).
    expect(xyToLinear(0.0743, 0.8338)).toEqual([0, 1, 0]);
  });
});

import { converter, differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chromaticityAtPlace, placeOf } from '../../node/light/colour-plane.ts';
import { parseColour } from '../../node/light/colour-value.ts';
import { chromaticityOf } from '../../node/light/of-value.ts';
import { planckian } from '../../node/light/temperature.ts';

type Lab = ReturnType<typeof lab>;
const share = fc.double({ min: 0, max: 1, noNaN: true });
const oklab = converter('oklab');
const lab = converter('lab65');
const judge = differenceCiede2000();
const at = (value: string) =>
  chromaticityOf(parseColour(value) as NonNullable<ReturnType<typeof parseColour>>, () => ({ kind: 'kelvin', kelvin: 3000 }));
/** Light of 18 %, as a library has it. */
const light = ([x, y]: readonly [number, number]) =>
  ({ mode: 'xyz65', x: (x / y) * 0.18, y: 0.18, z: ((1 - x - y) / y) * 0.18 }) as const;

describe('The plane of colours', () => {
  test('finds again what was picked, wherever that is', () => {
    fc.assert(
      fc.property(share, fc.double({ min: 0.02, max: 1, noNaN: true }), (across, up) => {
        const [x, y] = chromaticityAtPlace({ across, up });
        const found = placeOf(x, y);
        const apart = Math.abs(found.across - across);
        expect(Math.min(apart, 1 - apart)).toBeLessThan(1e-3);
        expect(found.up).toBeCloseTo(up, 3);
      }),
    );
  });

  test('has a hue at one place across and no brightness in it, as an independent library has hues', () => {
    for (const [strong, dim] of [
      ['#ff0000', '#400000'],
      ['#00ffff', '#004040'],
      ['#ffff00', '#808000'],
    ] as const) {
      const [one, other] = [at(strong), at(dim)].map((xy) => placeOf(...(xy as [number, number])));
      expect(other?.across).toBeCloseTo(one?.across as number, 9);
      expect(other?.up).toBeCloseTo(one?.up as number, 9);
    }
    const [pale, strong] = ['#ff8080', '#ff0000'].map((value) => placeOf(...(at(value) as [number, number])));
    expect(pale?.up).toBeLessThan(strong?.up as number);
    // 200 degrees are the left edge.
    for (const value of ['#ff0000', '#ffd166', '#00ff00', '#c77dff', '#e8b7a2']) {
      const hue = oklab(value) as unknown as { a: number; b: number };
      const degrees = ((Math.atan2(hue.b, hue.a) * 180) / Math.PI + 360) % 360;
      expect(placeOf(...(at(value) as [number, number])).across).toBeCloseTo(((degrees - 200 + 360) % 360) / 360, 3);
    }
  });

  test('has every colour of a screen and every white of a lamp on it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 0xffffff }), (packed) => {
        const xy = at(`#${packed.toString(16).padStart(6, '0')}`) as [number, number];
        const found = placeOf(...xy);
        const back = chromaticityAtPlace(found);
        expect(judge(lab(light(back)), lab(light(xy)))).toBeLessThan(0.5);
      }),
    );
    for (const kelvin of [2000, 2700, 4000, 6500, 10_000]) {
      const { up } = placeOf(...planckian(kelvin));
      expect(up).toBeGreaterThanOrEqual(0);
      expect(up).toBeLessThan(0.9);
    }
  });

  // CIEDE2000 by culori. A blue next to violet is the least even: there CIEDE2000 turns hue and chroma into each other.
  test('has steps upwards that are about equal to the eye within a hue, and a straight scale of chroma has not', () => {
    const uneven = (up: (step: number) => number): number => {
      const ratios = Array.from({ length: 36 }, (_, i) => {
        const steps = Array.from({ length: 10 }, (_, k) => {
          const [low, high] = [k / 10, (k + 1) / 10].map((step) =>
            lab(light(chromaticityAtPlace({ across: i / 36, up: up(step) }))),
          );
          return judge(low as Lab, high as Lab);
        });
        return Math.max(...steps) / Math.min(...steps);
      }).sort((a, b) => a - b);
      return ratios[18] as number;
    };
    expect(uneven((step) => step)).toBeLessThan(2.2);
    // A C / L of 0.5 at the top, which is about the middle of all hues.
    expect(uneven((step) => Math.log1p(7.6 * 0.5 * step) / Math.log1p(7.6 * 0.5))).toBeGreaterThan(2.5);
  });
});

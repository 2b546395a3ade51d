import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { behindMaster, levelFor, lightAt } from '../../node/light/lightness.ts';
import { levelOf, lightOf } from '../helpers/lightness.ts';

describe('What a level means', () => {
  // L* = 116 Y^(1/3) - 16, and 903.3 Y below Y = 0.008856 (CIE 15): worked out by hand.
  test.each([
    [0, 0],
    [0.01, 0.0899],
    [0.1, 0.3784],
    [0.18, 0.495],
    [0.5, 0.7607],
    [1, 1],
  ])('%d of the light is a level of %d', (light, level) => {
    expect(levelFor(light)).toBeCloseTo(level, 4);
    expect(lightAt(level)).toBeCloseTo(light, 4);
  });

  test('is what an independent library makes of CIE Lab', () => {
    for (let level = 0; level <= 1; level += 1 / 64) {
      expect(lightAt(level)).toBeCloseTo(lightOf(level), 6);
      expect(levelFor(level)).toBeCloseTo(levelOf(level), 4);
    }
  });

  test('there and back is the same, and more level is more light', () => {
    const level = fc.double({ min: 0, max: 1.3, noNaN: true });
    fc.assert(
      fc.property(level, level, (one, other) => {
        expect(levelFor(lightAt(one))).toBeCloseTo(one, 12);
        if (one < other) expect(lightAt(one)).toBeLessThanOrEqual(lightAt(other));
      }),
    );
  });

  test('behind a master half the light is half the light, and nothing is brighter than before', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(share, share, (level, left) => {
        expect(behindMaster(level, left)).toBeLessThanOrEqual(level);
        expect(lightAt(behindMaster(level, left))).toBeCloseTo(lightAt(level) * left, 12);
      }),
    );
    expect(behindMaster(0.3, 1)).toBe(0.3);
  });
});

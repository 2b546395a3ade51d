import { readFileSync } from 'node:fs';
import { differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ciede2000, difference } from '../../node/light/difference.ts';

const pairs = JSON.parse(readFileSync(new URL('../truth/ciede2000-pairs.json', import.meta.url), 'utf8')) as number[][];
const judge = differenceCiede2000();

describe('The difference of two colours', () => {
  test('is that of all 34 pairs of Sharma, Wu and Dalal (2005) to four places, either way round', () => {
    expect(pairs).toHaveLength(34);
    for (const [l1 = 0, a1 = 0, b1 = 0, l2 = 0, a2 = 0, b2 = 0, expected = 0] of pairs) {
      expect(ciede2000([l1, a1, b1], [l2, a2, b2])).toBeCloseTo(expected, 4);
      expect(ciede2000([l2, a2, b2], [l1, a1, b1])).toBeCloseTo(expected, 4);
    }
  });

  test('is that of an independent library, for any two', () => {
    const ab = fc.integer({ min: -1200, max: 1200 }).map((n) => n / 10);
    const lab = fc.tuple(
      fc.integer({ min: 0, max: 1000 }).map((n) => n / 10),
      ab,
      ab,
    );
    fc.assert(
      fc.property(lab, lab, ([l1, a1, b1], [l2, a2, b2]) => {
        const theirs = judge({ mode: 'lab65', l: l1, a: a1, b: b1 }, { mode: 'lab65', l: l2, a: a2, b: b2 });
        expect(ciede2000([l1, a1, b1], [l2, a2, b2])).toBeCloseTo(theirs, 6);
      }),
      { numRuns: 2000 },
    );
  });

  test('of two lights does not count how strong they are', () => {
    const xyz = fc.array(fc.integer({ min: 1, max: 1000 }), { minLength: 3, maxLength: 3 });
    fc.assert(
      fc.property(xyz, xyz, fc.integer({ min: 1, max: 1000 }), (one, other, by) => {
        const stronger = one.map((part) => part * by);
        expect(difference(stronger, other)).toBeCloseTo(difference(one, other), 9);
        expect(difference(one, stronger)).toBeCloseTo(0, 6);
      }),
    );
  });
});

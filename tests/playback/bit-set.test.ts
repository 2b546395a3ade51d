import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hasAll, hasAny, intersect, membersOf, overlaps, setOf, unite } from '../../node/playback/bit-set.ts';

const SIZE = 100;
const numbers = fc.uniqueArray(fc.nat(SIZE - 1), { maxLength: 40 }).map((list) => Uint32Array.from(list));

describe('a set of bits', () => {
  it('does what a set of numbers does', () => {
    fc.assert(
      fc.property(numbers, numbers, (one, other) => {
        const [a, b] = [new Set(one), new Set(other)];
        const sorted = (of: Iterable<number>) => [...of].sort((x, y) => x - y);
        expect([...membersOf(setOf(SIZE, one))]).toEqual(sorted(a));
        expect(hasAll(setOf(SIZE, one), other)).toBe([...b].every((member) => a.has(member)));
        expect(hasAny(setOf(SIZE, one), other)).toBe([...b].some((member) => a.has(member)));
        expect(overlaps(setOf(SIZE, one), setOf(SIZE, other))).toBe([...b].some((member) => a.has(member)));
        const [both, common] = [setOf(SIZE, one), setOf(SIZE, one)];
        unite(both, setOf(SIZE, other));
        intersect(common, setOf(SIZE, other));
        expect([...membersOf(both)]).toEqual(sorted(new Set([...a, ...b])));
        expect([...membersOf(common)]).toEqual(sorted([...a].filter((member) => b.has(member))));
      }),
    );
  });
});

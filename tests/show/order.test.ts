import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { byPlace, inOrder, keyBetween, orderKey } from '../../node/show/order.ts';

const key = fc.stringMatching(/^[0-9a-z]{0,6}[1-9a-z]$/);
const isKey = (text: string): boolean => orderKey.safeParse(text).success;
const ids = (list: readonly { id: string }[]) => list.map(({ id }) => id);

describe('a key between two', () => {
  it('is one, and lies between them', () => {
    fc.assert(
      fc.property(key, key, (one, other) => {
        const [low, high] = one < other ? [one, other] : [other, one];
        const keys = [
          ...(low < high ? [[low, keyBetween(low, high), high]] : []),
          [keyBetween(undefined, low), low],
          [high, keyBetween(high, undefined)],
        ];
        for (const row of keys) {
          expect(row.every(isKey), row.join(' ')).toBe(true);
          expect(row).toEqual([...new Set(row)].sort());
        }
      }),
      { numRuns: 2000 },
    );
  });

  it.each([
    ['a1', 'a2', 'a1i'],
    ['a', 'a1', 'a0i'],
    ['a', 'a01', 'a00i'],
    ['az', 'b', 'azi'],
    ['a', 'b5', 'b'],
    ['1', '2', '1i'],
  ])('%s and %s is %s', (after, before, between) => {
    expect(keyBetween(after, before)).toBe(between);
  });

  it('stays short when thousands are added at one end, and a few dozen digits when one is always put at the same place', () => {
    const grown = (add: (keys: string[]) => string): number => {
      const keys = ['i'];
      for (let i = 0; i < 5000; i++) keys.push(add(keys));
      return Math.max(...keys.map(({ length }) => length));
    };
    expect(grown((keys) => keyBetween(keys.at(-1), undefined))).toBe(3);
    expect(grown((keys) => keyBetween(undefined, keys.at(-1)))).toBe(3);
    let before = 'i01';
    for (let i = 0; i < 200; i++) before = keyBetween('i', before);
    expect(before.length).toBeLessThan(60);
  });
});

describe('a list', () => {
  it('that is written without keys keeps its order, whatever its length', () => {
    const list = Array.from({ length: 3000 }, (_, i) => ({ id: `n${i}`, level: i }));
    const ordered = inOrder(list);
    expect(ids(ordered)).toEqual(ids(list));
    expect(ordered.every(({ order }) => isKey(order))).toBe(true);
    expect(inOrder(ordered)).toEqual(ordered);
    expect(Object.keys(ordered[0] ?? {})).toEqual(['id', 'order', 'level']);
  });

  it('goes by its keys, and by ids where they are equal', () => {
    expect(
      ids(
        inOrder([
          { id: 'd', order: 'b' },
          { id: 'c', order: 'a' },
          { id: 'b', order: 'b' },
        ]),
      ),
    ).toEqual(['c', 'b', 'd']);
  });

  it('takes in those without a key behind the one that they were written behind', () => {
    fc.assert(
      fc.property(fc.array(fc.option(key, { nil: undefined }), { maxLength: 30 }), (orders) => {
        const list = orders.map((order, i) => ({
          id: `n${String(i).padStart(2, '0')}`,
          ...(order === undefined ? {} : { order }),
        }));
        const ordered = inOrder(list);
        expect(ordered.every(({ order }) => isKey(order))).toBe(true);
        expect([...ordered].sort(byPlace)).toEqual(ordered);
        expect([...ids(ordered)].sort()).toEqual(ids(list));
        for (const [i, { id, order }] of list.entries()) {
          const before = list[i - 1];
          if (order === undefined && before !== undefined)
            expect(ids(ordered).indexOf(id)).toBeGreaterThan(ids(ordered).indexOf(before.id));
        }
      }),
    );
  });
});

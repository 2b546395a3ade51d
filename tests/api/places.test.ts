import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Places } from '../../node/api/places.ts';

const stranger = (key: string) => ({ key, rank: 0 });

describe('places of which there are only so many', () => {
  it('go to the newest of each: whoever takes more than their share gives up their oldest', () => {
    const places = new Places<number>(10, 2);
    expect([1, 2, 3].map((one) => places.take(one, stranger('a')))).toEqual([undefined, undefined, 1]);
    expect([...places]).toEqual([2, 3]);
  });

  it('that are all taken are given up by whoever holds most, and of those the oldest', () => {
    const places = new Places<string>(4, 3);
    for (const one of ['a1', 'b1', 'b2', 'b3']) places.take(one, stranger(one.slice(0, 1)));
    expect(places.take('c1', stranger('c'))).toBe('b1');
    expect(places.take('d1', stranger('d'))).toBe('b2');
    // One each: then age decides, and whoever comes gets in.
    expect(places.take('e1', stranger('e'))).toBe('a1');
  });

  it('are given up by the lowest rank first, were it the one that comes', () => {
    const places = new Places<string>(2, 2);
    places.take('viewer', { key: 'v', rank: -2 });
    places.take('operator', { key: 'o', rank: 0 });
    expect(places.take('helper', { key: 'h', rank: -1 })).toBe('viewer');
    expect(places.take('other viewer', { key: 'w', rank: -2 })).toBe('other viewer');
    places.leave('helper');
    expect(places.take('viewer', { key: 'v', rank: -2 })).toBeUndefined();
  });

  it('never are more than there are, for all and for each, and nobody goes for one who ranks lower', () => {
    const comer = fc.record({ key: fc.constantFrom('a', 'b', 'c', 'd', 'e'), leaves: fc.boolean() });
    const rankOf = (key: string) => key.charCodeAt(0) % 3;
    fc.assert(
      fc.property(fc.array(comer, { maxLength: 200 }), (comers) => {
        const places = new Places<number>(8, 3);
        const keys = comers.map(({ key }) => key);
        for (const [i, { key, leaves }] of comers.entries()) {
          const leaver = places.take(i, { key, rank: rankOf(key) });
          const held = [...places].map((one) => keys[one]);
          expect(held.length).toBeLessThanOrEqual(8);
          for (const one of held) expect(held.filter((other) => other === one).length).toBeLessThanOrEqual(3);
          if (leaver !== undefined) expect(rankOf(keys[leaver] ?? '')).toBeLessThanOrEqual(rankOf(key));
          if (leaves) places.leave(i);
        }
      }),
    );
  });
});

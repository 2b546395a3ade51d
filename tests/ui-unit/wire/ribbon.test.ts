import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LINE, layOut, piecesOf, slotAt } from '../../../ui/src/wire/ribbon.ts';
import { lamp } from './fixtures.ts';

const patch = fc
  .array(fc.record({ gap: fc.integer({ min: 0, max: 60 }), slots: fc.integer({ min: 1, max: 40 }) }), { maxLength: 30 })
  .map((rows) => {
    const fixtures = [];
    let address = 1;
    for (const { gap, slots } of rows) {
      address += gap;
      if (address + slots > 513) break;
      fixtures.push(lamp(`f${address}`, `Lamp ${address}`, 'uplight', 1, address, slots));
      address += slots;
    }
    return fixtures;
  });

describe('a universe as a ribbon', () => {
  test('spells every one of the 512 slots once, in order', () => {
    fc.assert(
      fc.property(patch, (fixtures) => {
        const slots = piecesOf([...fixtures].reverse(), true).flatMap(({ first, last }) =>
          Array.from({ length: last - first + 1 }, (_, i) => first + i),
        );
        expect(slots).toEqual(Array.from({ length: 512 }, (_, i) => i + 1));
      }),
    );
  });

  test('never runs over the edge, and no two pieces lie over each other', () => {
    fc.assert(
      fc.property(patch, fc.integer({ min: 240, max: 1400 }), (fixtures, width) => {
        const { placed, height } = layOut(piecesOf(fixtures, true), width, ({ address }) => 56 + (address % 90));
        placed.forEach((piece, i) => {
          expect(piece.x + piece.width).toBeLessThanOrEqual(width);
          expect(piece.y + LINE).toBeLessThanOrEqual(height);
          const before = placed[i - 1];
          // A gap may lie below the end of the name before it, but never over its slots.
          const slots =
            before === undefined ? 0 : piece.kind === 'gap' ? (before.last - before.first + 1) * before.step : before.width;
          if (before?.y === piece.y) expect(piece.x).toBeGreaterThanOrEqual(before.x + slots - 1e-6);
        });
      }),
    );
  });

  test('a fixture of all slots is drawn narrow, not wide', () => {
    const { placed } = layOut(piecesOf([lamp('wall', 'Pixel wall', 'facade', 1, 1, 512)], true), 358, () => 112);
    expect(placed).toHaveLength(1);
    expect(placed[0]?.width).toBe(358);
  });

  test('a place across a fixture is the slot that is drawn there', () => {
    const [piece] = layOut(piecesOf([lamp('a', 'A', 'uplight', 1, 21, 9)], false), 358, () => 112).placed;
    if (piece === undefined) throw new Error('no piece');
    expect([0, 9.9, 10, 85, 500, -4].map((across) => slotAt(piece, across))).toEqual([21, 21, 22, 29, 29, 21]);
  });

  test('an empty universe is one gap', () => {
    expect(piecesOf([], true)).toEqual([{ kind: 'gap', first: 1, last: 512 }]);
    expect(piecesOf([], false)).toEqual([]);
  });
});

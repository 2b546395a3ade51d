import { describe, expect, test } from 'vitest';
import { fromRemote } from '../../../node/api/contract.ts';
import { MOST_BY_HAND } from '../../../node/core/remote.ts';
import { drive, driven, handWords, isFull, isIdle, letGo, light, nothing, wishOf } from '../../../ui/src/wire/hand.ts';
import { answered, back, current, isOver, jump, walkThrough } from '../../../ui/src/wire/walk.ts';
import { lamp } from './fixtures.ts';

const slot = (n: number) => ({ universe: 2, slot: n });
const understood = (wish: object) => fromRemote.safeParse({ type: 'by-hand', id: 1, ...wish }).success;

describe('by hand', () => {
  test('all that is driven goes in one message, in the form that the node takes', () => {
    const hand = light(drive(drive(nothing, slot(17), 200), slot(18), 12.6), 'north-1');
    expect(wishOf(hand)).toEqual({
      slots: [
        { universe: 2, slot: 17, value: 200 },
        { universe: 2, slot: 18, value: 13 },
      ],
      identify: 'north-1',
    });
    expect(understood(wishOf(hand))).toBe(true);
    expect(handWords(hand, () => 'North wall 1')).toBe('2 slots by hand, North wall 1 lit up');
  });

  test('when the last is let go nothing is asked for any more', () => {
    const hand = light(letGo(drive(light(nothing, 'x'), slot(1), 9), slot(1)), undefined);
    expect(isIdle(hand)).toBe(true);
    expect(wishOf(hand)).toEqual({});
    expect(understood(wishOf(hand))).toBe(true);
  });

  test('values stay within a byte', () => {
    expect(driven(drive(nothing, slot(1), 400), slot(1))).toBe(255);
    expect(driven(drive(nothing, slot(1), -3), slot(1))).toBe(0);
  });

  test('never more slots than the node takes; those that are held can still be moved', () => {
    let hand = nothing;
    for (let n = 1; n <= MOST_BY_HAND + 1; n++) hand = drive(hand, slot(n), 1);
    expect(isFull(hand)).toBe(true);
    expect(understood(wishOf(hand))).toBe(true);
    expect(understood({ slots: [...hand.slots.values(), { universe: 1, slot: 1, value: 1 }] })).toBe(false);
    expect(driven(hand, slot(MOST_BY_HAND + 1))).toBeUndefined();
    expect(driven(drive(hand, slot(5), 77), slot(5))).toBe(77);
  });
});

describe('a walk through the lights', () => {
  const fixtures = [lamp('c', 'C', 'spot', 2, 1, 3), lamp('b', 'B', 'uplight', 1, 40, 3), lamp('a', 'A', 'uplight', 1, 5, 3)];

  test('goes by universe and address, and is over after the last', () => {
    let walk = walkThrough(fixtures);
    const seen = [];
    while (!isOver(walk)) {
      seen.push(current(walk));
      walk = answered(walk, true);
    }
    expect(seen).toEqual(['a', 'b', 'c']);
    expect(isOver(answered(walk, true))).toBe(true);
    expect(walk.unseen).toEqual([]);
    expect(current(back(walk))).toBe('c');
    expect(current(back(walkThrough(fixtures)))).toBe('a');
  });

  test('lists those that were not seen, and takes one off that is seen at a second look', () => {
    const walk = answered(answered(walkThrough(fixtures), false), false);
    expect(walk.unseen).toEqual(['a', 'b']);
    expect(answered(jump(walk, 'a'), true).unseen).toEqual(['b']);
    expect(answered(jump(walk, 'a'), false).unseen).toEqual(['b', 'a']);
    expect(current(jump(walk, 'b'))).toBe('b');
  });

  test('a show without fixtures is over at once', () => {
    expect(isOver(walkThrough([]))).toBe(true);
  });
});

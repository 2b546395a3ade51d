import { describe, expect, test } from 'vitest';
import { changedLately, LATELY, WireLevels } from '../../../ui/src/wire/levels.ts';
import { lamp } from './fixtures.ts';

const fixtures = [lamp('a', 'A', 'uplight', 1, 1, 3), lamp('b', 'B', 'uplight', 1, 4, 3), lamp('c', 'C', 'spot', 2, 1, 3)];

function slots(values: Readonly<Record<number, number>>): Uint8Array {
  const all = new Uint8Array(512);
  for (const [slot, value] of Object.entries(values)) all[Number(slot) - 1] = value;
  return all;
}
const changed = (levels: WireLevels, now: number): string[] => [...changedLately(fixtures, levels, now)];

describe('what has changed lately', () => {
  test('the first picture of a universe is no change', () => {
    const levels = new WireLevels();
    levels.take(1, slots({ 1: 200 }), 0);
    expect(changed(levels, 10)).toEqual([]);
    expect(levels.at(1, 1)).toBe(200);
  });

  test('only the fixture whose slot changed, for three seconds', () => {
    const levels = new WireLevels();
    levels.take(1, slots({}), 0);
    levels.take(2, slots({}), 0);
    // the last slot of B
    levels.take(1, slots({ 6: 1 }), 1000);
    expect(changed(levels, 1000)).toEqual(['b']);
    expect(LATELY).toBe(3000);
    expect(changed(levels, 4000)).toEqual(['b']);
    expect(changed(levels, 4001)).toEqual([]);
  });

  test('the same levels again change nothing, and the array that came in may be used again', () => {
    const levels = new WireLevels();
    const incoming = slots({ 1: 5 });
    levels.take(1, incoming, 0);
    const count = levels.changes(1);
    levels.take(1, incoming, 100);
    expect(levels.changes(1)).toBe(count);
    incoming[0] = 6;
    expect(levels.at(1, 1)).toBe(5);
    levels.take(1, incoming, 200);
    expect(levels.changes(1)).toBe(count + 1);
    expect(changed(levels, 200)).toEqual(['a']);
  });

  test('what is not 512 slots is not taken', () => {
    const levels = new WireLevels();
    levels.take(1, new Uint8Array(3), 0);
    expect(levels.slots(1)).toBeUndefined();
  });
});

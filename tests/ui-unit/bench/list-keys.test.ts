import { expect, test } from 'vitest';
import { rowAfter } from '../../../ui/src/bench/things/list-keys.ts';

test('Arrow keys go through a list and stop at its ends; other keys are for something else', () => {
  expect(rowAfter('ArrowDown', 0, 3)).toBe(1);
  expect(rowAfter('ArrowDown', 2, 3)).toBe(2);
  expect(rowAfter('ArrowUp', 0, 3)).toBe(0);
  // From outside of all rows down is the first.
  expect(rowAfter('ArrowDown', -1, 3)).toBe(0);
  expect([rowAfter('Home', 2, 3), rowAfter('End', 0, 3)]).toEqual([0, 2]);
  expect(rowAfter('Enter', 1, 3)).toBeUndefined();
  expect(rowAfter('ArrowDown', 0, 0)).toBeUndefined();
});

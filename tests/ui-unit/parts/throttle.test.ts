import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { Throttle } from '../../../ui/src/parts/throttle.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

it('a throttle passes the first at once, then the last of each stretch, and always the final one', () => {
  const passed: number[] = [];
  const throttle = new Throttle<number>(66, (value) => passed.push(value));
  for (let millis = 0; millis < 200; millis += 10) {
    throttle.push(millis);
    vi.advanceTimersByTime(10);
  }
  vi.runAllTimers();
  // Stretches end at 66, 132 and 198 ms; the newest values then are 60, 130 and 190.
  expect(passed).toEqual([0, 60, 130, 190]);
});

it('a throttle that is told to drop what waits keeps its pace, and passes what comes after', () => {
  const passed: number[] = [];
  const throttle = new Throttle<number>(66, (value) => passed.push(value));
  throttle.push(1);
  throttle.push(2);
  throttle.drop();
  vi.advanceTimersByTime(10);
  throttle.push(3);
  expect(passed).toEqual([1]);
  vi.runAllTimers();
  expect(passed).toEqual([1, 3]);
});

import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Seeking } from '../../ui/src/seeking.ts';

beforeEach(() => void vi.useFakeTimers({ now: 0 }));
afterEach(() => void vi.useRealTimers());

/** A phone that writes down when it looked, in milliseconds since the start. */
function phone(chance = 0.5) {
  const looks: number[] = [];
  return {
    looks,
    seeking: new Seeking(
      () => looks.push(Date.now()),
      () => chance,
    ),
  };
}

describe('a lost phone', () => {
  it('looks for the node at once and soon again, then ever more rarely, but every three seconds or so for as long as it takes', () => {
    const { looks, seeking } = phone();
    seeking.now();
    vi.advanceTimersByTime(15_000);
    expect(looks).toEqual([0, 500, 1500, 3500, 6500, 9500, 12_500]);
    vi.advanceTimersByTime(24 * 3_600_000);
    expect(looks.at(-1)).toBeGreaterThan(24 * 3_600_000 + 12_000);
  });

  it('looks at once when its network or its page comes back, and from there on as at first', () => {
    const { looks, seeking } = phone();
    seeking.now();
    vi.advanceTimersByTime(20_000);
    looks.length = 0;
    seeking.now();
    vi.advanceTimersByTime(2000);
    expect(looks).toEqual([20_000, 20_500, 21_500]);
  });

  it('does not look in the same moment as all others', () => {
    const [early, late] = [phone(0), phone(1)];
    for (const { seeking } of [early, late]) seeking.now();
    vi.advanceTimersByTime(1000);
    expect(early.looks[1]).toBe(375);
    expect(late.looks[1]).toBe(625);
  });

  it('that found the node, but no line to it, goes on pausing longer', () => {
    const { looks, seeking } = phone();
    seeking.now();
    for (let found = 0; found < 4; found++) {
      seeking.stop();
      expect(seeking.isOn).toBe(false);
      seeking.later();
      vi.advanceTimersToNextTimer();
    }
    // A look and what came of it lengthen the pause once each.
    expect(looks).toEqual([0, 1000, 4000, 7000, 10_000]);
  });

  it('that was found looks no more', () => {
    const { looks, seeking } = phone();
    seeking.now();
    seeking.stop();
    vi.advanceTimersByTime(100_000);
    expect(looks).toEqual([0]);
  });
});

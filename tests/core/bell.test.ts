import { describe, expect, it } from 'vitest';
import { Bell } from '../../node/core/bell.ts';

describe('a bell', () => {
  it('lets nobody sleep who has not heard the last ring', () => {
    const bell = new Bell();
    const heard = bell.heard();
    new Bell(bell.memory).ring();
    const from = performance.now();
    bell.sleep(heard, 60_000);
    expect(performance.now() - from).toBeLessThan(30_000);
  });

  it('lets sleep for as long as is asked for when nobody rings', () => {
    const bell = new Bell();
    const from = performance.now();
    bell.sleep(bell.heard(), 20);
    expect(performance.now() - from).toBeGreaterThanOrEqual(19);
  });
});

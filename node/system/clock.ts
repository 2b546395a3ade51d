import type { Clock } from '../core/ports.ts';

/** The machine's clock: epoch milliseconds at the start of the thread, counted on by the monotonic clock, so that it never goes back. */
export const systemClock: Clock = { now: () => performance.timeOrigin + performance.now() };

import type { Millis } from './units.ts';

/**
 * What a restart must not forgive: of light and haze that may go on for so long only, by what it is of, how much of its time is used, 1: all of it, and it
 * has not had its rest. What is not more than half used is left out: that is what is thought of everything after a start.
 */
export type Kept = Readonly<Record<string, number>>;

/** The guard that keeps where heads stand while the crew works, in degrees: that is so however long ago it was, and is written as soon as it changes. */
export const STANDING = 'motion';

/** Of what nothing is known so much is thought to be used. */
export const HALF = 0.5;
/** What is written down may be behind by so much of the time that something has. */
export const STEP = 1 / 8;
/** In so long everything has had its rest: haze by its ten minutes, UV by the ten that it rests. */
export const RECOVERED: Millis = 600_000;

/** How much of its time is thought to be used after a restart, by what was kept of it. */
export const usedAfter = (used: number | undefined): number => (used === undefined ? HALF : Math.min(1, used + STEP));

/** What is more than half used, of things by their keys. */
export function keptOf(keys: readonly string[], used: (i: number) => number): Kept {
  const kept: Record<string, number> = {};
  for (const [i, key] of keys.entries()) {
    const share = used(i);
    if (share > HALF) kept[key] = Math.min(1, share);
  }
  return kept;
}

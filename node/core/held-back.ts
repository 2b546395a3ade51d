import type { Millis } from './units.ts';

/** What a guard held back in one stretch of an evening. */
export interface HeldBack {
  readonly guard: string;
  /** By the wall: when it began, and when it was seen last. */
  readonly since: Millis;
  readonly until: Millis;
  /** `Head 2 dimmed: a beam rested where guests may look into it`. */
  readonly what: string;
  /** How often it began. */
  readonly times: number;
}

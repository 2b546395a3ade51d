import type { Millis } from '../core/units.ts';

/** So many at once, and from then on as many as time brings: a bucket that fills by the clock. */
export class Allowance {
  readonly #most: number;
  readonly #perMilli: number;
  #left: number;
  #at: Millis;

  constructor(most: number, perSecond: number, now: Millis) {
    this.#most = most;
    this.#perMilli = perSecond / 1000;
    this.#left = most;
    this.#at = now;
  }

  /** Takes one. @returns whether there was one left. */
  take(now: Millis): boolean {
    this.#left = Math.min(this.#most, this.#left + (now - this.#at) * this.#perMilli);
    this.#at = now;
    if (this.#left < 1) return false;
    this.#left--;
    return true;
  }
}

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

/** Askers that are remembered at once; where more than these ask one after the other, the first are forgotten. */
const MOST_ASKERS = 1000;

/** An allowance for each of those who ask. */
export class Allowances {
  readonly #most: number;
  readonly #perSecond: number;
  /** Who asked last stands last. */
  readonly #byAsker = new Map<string, Allowance>();

  constructor(most: number, perSecond: number) {
    this.#most = most;
    this.#perSecond = perSecond;
  }

  /** Takes one of an asker's. @returns whether there was one left. */
  take(asker: string, now: Millis): boolean {
    const allowance = this.#byAsker.get(asker) ?? new Allowance(this.#most, this.#perSecond, now);
    this.#byAsker.delete(asker);
    this.#byAsker.set(asker, allowance);
    const oldest = this.#byAsker.keys().next().value;
    if (this.#byAsker.size > MOST_ASKERS && oldest !== undefined) this.#byAsker.delete(oldest);
    return allowance.take(now);
  }
}

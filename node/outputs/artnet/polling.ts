import type { Millis } from '../../core/units.ts';

/**
 * Art-Net 4: a controller polls every 2.5 to 3 s. When exactly is left to chance, so that controllers do not fall into step; the last
 * 100 ms are left out, since a poll waits for the next frame.
 */
const SHORTEST: Millis = 2500;
const SPREAD: Millis = 400;

/** When to poll. */
export class Polling {
  readonly #random: () => number;
  #nextAt: Millis = Number.NEGATIVE_INFINITY;
  #countedAt: Millis = Number.NEGATIVE_INFINITY;

  constructor(random: () => number) {
    this.#random = random;
  }

  /** The links have changed: do not wait to ask who is there. */
  hurry(): void {
    this.#nextAt = Number.NEGATIVE_INFINITY;
  }

  due(now: Millis): boolean {
    if (now < this.#nextAt) return false;
    this.#nextAt = now + SHORTEST + this.#random() * SPREAD;
    return true;
  }

  /** Whether a poll that goes out now may be held against those who missed the last: not one that was hurried by a flapping link. */
  counts(now: Millis): boolean {
    if (now - this.#countedAt < SHORTEST) return false;
    this.#countedAt = now;
    return true;
  }
}

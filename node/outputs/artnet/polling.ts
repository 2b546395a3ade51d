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
  #roundAt: Millis = Number.NEGATIVE_INFINITY;

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

  /** Whether a poll that goes out now ends the time for answers to the last: the first does not, nor one that a flapping link hurried. */
  closesRound(now: Millis): boolean {
    const since = now - this.#roundAt;
    if (since < SHORTEST) return false;
    this.#roundAt = now;
    return Number.isFinite(since);
  }
}

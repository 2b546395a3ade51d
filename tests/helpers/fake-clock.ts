import type { Clock } from '../../node/core/ports.ts';
import type { Millis } from '../../node/core/units.ts';

/** Clocks that stand until they are told to go on. Both start at numbers that are not zero, as real ones would. */
export class FakeClock implements Clock {
  #now: Millis = 1_234_567;
  #ahead: Millis = Date.UTC(2030, 5, 15, 20, 0, 0) - this.#now;

  now(): Millis {
    return this.#now;
  }

  wall(): Millis {
    return this.#now + this.#ahead;
  }

  advance(millis: Millis): Millis {
    this.#now += millis;
    return this.#now;
  }

  /** Somebody sets the wall clock, forward or back. */
  step(millis: Millis): void {
    this.#ahead += millis;
  }
}

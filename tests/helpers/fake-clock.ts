import type { Clock } from '../../node/core/ports.ts';
import type { Millis } from '../../node/core/units.ts';

/** A clock that stands until it is told to go on. Starts at a date that is not zero, as a real one would. */
export class FakeClock implements Clock {
  #now: Millis = Date.UTC(2030, 5, 15, 20, 0, 0);

  now(): Millis {
    return this.#now;
  }

  advance(millis: Millis): Millis {
    this.#now += millis;
    return this.#now;
  }
}

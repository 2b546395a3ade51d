import { type Hertz, MILLIS_PER_SECOND, type Millis } from '../core/units.ts';

/** Long enough that a keep-alive a second reads as one a second. */
const WINDOW: Millis = 2000;
/** A source that has only begun is counted as if it had sent for this long, so that its first packets make no thousands. */
const SHORTEST: Millis = 1000;

/** How often something came of late, in constant memory: counts this window, and takes of the one before what still lies in reach. */
export class Rate {
  readonly #since: Millis;
  #window = 0;
  #count = 0;
  #before = 0;

  constructor(now: Millis) {
    this.#since = now;
  }

  count(now: Millis): void {
    this.#roll(now);
    this.#count++;
  }

  perSecond(now: Millis): Hertz {
    const into = this.#roll(now);
    const span = this.#window === 0 ? Math.max(SHORTEST, into) : WINDOW;
    return Math.round(((this.#count + this.#before * (1 - into / WINDOW)) / span) * MILLIS_PER_SECOND);
  }

  /** @returns how far `now` lies in its window. */
  #roll(now: Millis): Millis {
    const window = Math.max(this.#window, Math.floor((now - this.#since) / WINDOW));
    if (window > this.#window) {
      this.#before = window === this.#window + 1 ? this.#count : 0;
      this.#count = 0;
      this.#window = window;
    }
    return Math.max(0, now - this.#since - window * WINDOW);
  }
}

import { type Hertz, MILLIS_PER_SECOND, type Millis } from '../core/units.ts';

/**
 * Fastest refresh of 512 slots, ANSI E1.11: break 92 µs, mark 12 µs, 513 slots of 44 µs, 22.676 ms in all, 44.1 Hz. sACN and Art-Net
 * both defer to it (E1.31-2018 section 6.6.1).
 */
export const FASTEST: Hertz = 44;
const SHORTEST: Millis = MILLIS_PER_SECOND / FASTEST;
/** A frame that comes this much before its deadline was meant for it: a sleep too short to be worth its call was left out. */
const HAIR: Millis = 0.1;

/**
 * When frames are drawn: at deadlines that lie on a grid and do not drift, and besides as soon after a command as the refresh limit
 * permits. A frame goes out whole; the limit counts from the last frame of which anything was sent.
 */
export class Schedule {
  readonly #period: Millis;
  #grid: Millis;
  #sentAt: Millis = Number.NEGATIVE_INFINITY;
  #asked = false;

  constructor(rate: Hertz, start: Millis) {
    this.#period = Math.max(SHORTEST, MILLIS_PER_SECOND / rate);
    this.#grid = start;
  }

  /** A command came: do not wait for the grid. */
  ask(): void {
    this.#asked = true;
  }

  /** Instant of the next frame; it may lie in the past. */
  next(): Millis {
    const permitted = this.#sentAt + SHORTEST;
    return this.#asked ? permitted : Math.max(this.#grid, permitted);
  }

  /** The outputs were tended to between frames; `sent` says whether any universe went out. */
  tended(now: Millis, sent: boolean): void {
    if (sent) this.#sentAt = now;
  }

  /** A frame was drawn; `sent` says whether any of it went out. */
  drawn(now: Millis, sent: boolean): void {
    if (sent) this.#sentAt = now;
    const onTime = now >= this.#grid - HAIR && now < this.#grid + this.#period;
    // Early, on a command, or later than a whole period: count on from here and make up for nothing.
    this.#grid = onTime ? this.#grid + this.#period : now + this.#period;
    this.#asked = false;
  }
}

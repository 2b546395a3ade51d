import { type Hertz, MILLIS_PER_SECOND, type Millis } from '../../core/units.ts';
import { type Changes, note } from './changes.ts';

/** A strobe that had to be slower than this stands still. */
const SLOWEST: Hertz = 0.5;
/** Rates that are told apart: more than can go on together, since together they stay within the highest limit. */
const MOST_BEATS = 31;

/**
 * Strobes that were set to one rate in one frame beat as one; others add up. Works out what goes on of a frame, lamp by lamp, without
 * making anything anew.
 */
export class Beats {
  #count = 0;
  readonly #rates = new Float64Array(MOST_BEATS);
  readonly #since = new Float64Array(MOST_BEATS);
  readonly #allowed = new Float64Array(MOST_BEATS);

  clear(): void {
    this.#count = 0;
  }

  /** The number of the beat of a strobe at this rate since then; -1 where there are too many. */
  of(rate: Hertz, since: Millis): number {
    for (let i = 0; i < this.#count; i++) if (this.#rates[i] === rate && this.#since[i] === since) return i;
    if (this.#count === MOST_BEATS) return -1;
    this.#rates[this.#count] = rate;
    this.#since[this.#count] = since;
    return this.#count++;
  }

  /** Whether this beat has not been counted yet; it is from now on. */
  isNew(rate: Hertz, since: Millis): boolean {
    const before = this.#count;
    return this.of(rate, since) < 0 || this.#count > before;
  }

  /** Deals out `most` flashes a second: the beats that began first get theirs first. */
  deal(most: Hertz): void {
    let left = most;
    this.#allowed.fill(-1, 0, this.#count);
    for (let n = 0; n < this.#count; n++) {
      let next = -1;
      for (let i = 0; i < this.#count; i++)
        if ((this.#allowed[i] as number) < 0 && (next < 0 || (this.#since[i] as number) < (this.#since[next] as number))) next = i;
      const given = Math.min(left, this.#rates[next] as number);
      this.#allowed[next] = given < SLOWEST ? 0 : given;
      left -= this.#allowed[next] as number;
    }
  }

  allowed(beat: number): Hertz {
    return beat < 0 ? 0 : (this.#allowed[beat] as number);
  }
}

/** The most changes that strobes of this rate make in a second, both its ends included. */
export const changesOf = (rate: Hertz): number => (rate > 0 ? Math.floor(2 * rate) + 1 : 0);

/** Rates of strobes in lights, and since when they strobe. Plain data. */
export interface Rates {
  readonly rate: Float64Array;
  readonly since: Float64Array;
}

export const newRates = (lights: number): Rates => ({ rate: new Float64Array(lights), since: new Float64Array(lights) });

export function takeRate(to: Rates, light: number, from: Rates, other: number): void {
  to.rate[light] = from.rate[other] as number;
  to.since[light] = from.since[other] as number;
}

/** The light strobes so fast now. Flashes of what has ended stay in its last second, each at its time. */
export function followRate({ rate, since }: Rates, changes: Changes, light: number, now: Hertz, at: Millis): void {
  const before = rate[light] as number;
  if (now === before) return;
  if (now < before) {
    const ended = before - now;
    const apart = MILLIS_PER_SECOND / (2 * ended);
    const most = Math.min(changesOf(ended), Math.floor((at - (since[light] as number)) / apart) + 1);
    for (let i = most - 1; i >= 0; i--) note(changes, light, at - i * apart);
  }
  if (before === 0) since[light] = at;
  rate[light] = now;
}

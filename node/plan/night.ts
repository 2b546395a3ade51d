import { TZDate } from '@date-fns/tz';
import type { Millis } from '../core/units.ts';

/** Hour at which one night is over and the next begins: the latest party has ended and the earliest has not begun. Our choice, no source. */
const BEGINS_AT = 6;

/**
 * A night as the people in a place count it: from six in the morning to six in the morning, so that half past midnight comes after eleven in
 * the evening.
 */
export class Night {
  /** The instant that it was asked for. Epoch milliseconds, like the others. */
  readonly wall: Millis;
  readonly begins: Millis;
  readonly ends: Millis;
  readonly #zone: string;
  readonly #at: readonly [year: number, month: number, day: number];

  /**
   * The night around an instant.
   * @param wall epoch milliseconds
   * @param zone by the IANA time zone database, `Europe/Lisbon`
   */
  constructor(wall: Millis, zone: string) {
    const there = new TZDate(wall, zone);
    const early = there.getHours() < BEGINS_AT ? 1 : 0;
    this.wall = wall;
    this.#zone = zone;
    this.#at = [there.getFullYear(), there.getMonth(), there.getDate() - early];
    this.begins = this.#instant(BEGINS_AT, 0);
    this.ends = this.#instant(BEGINS_AT + 24, 0);
  }

  /**
   * When it is so late in this night: epoch milliseconds. An hour that a clock skips for daylight saving is the one after it; of one that
   * comes twice it is the second.
   * @param time of day, `21:30`
   */
  instantOf(time: string): Millis {
    const [hours = 0, minutes = 0] = time.split(':').map(Number);
    return this.#instant(hours < BEGINS_AT ? hours + 24 : hours, minutes);
  }

  #instant(hours: number, minutes: number): Millis {
    const [year, month, day] = this.#at;
    return new TZDate(year, month, day + Math.floor(hours / 24), hours % 24, minutes, this.#zone).getTime();
  }
}

import { MILLIS_PER_SECOND, type Millis } from '../../core/units.ts';

/** Changes that are remembered of a light: more than twice those that the highest limit permits in a second, so that none goes too early. */
const REMEMBERED = 48;
/** A hair of time, for instants that were worked out in two ways. */
const HAIR: Millis = 1e-6;
/**
 * A second of the guard is longer by this: a frame may leave that much later than it was drawn, and what follows is nearer to it than it should be.
 * Less than lies between two changes of a beat at the highest limit, so that no beat within a limit is touched for it.
 */
const LATE: Millis = 20;
const NEVER = Number.NEGATIVE_INFINITY;

/** When lights have changed: of each the last changes, in any order, and the place of the latest. Plain data. */
export interface Changes {
  readonly times: Float64Array;
  readonly latest: Uint8Array;
}

export const newChanges = (lights: number): Changes => ({
  times: new Float64Array(lights * REMEMBERED).fill(NEVER),
  latest: new Uint8Array(lights),
});

/** Takes one light's changes over from others. */
export function takeChanges(changes: Changes, light: number, from: Changes, other: number): void {
  changes.times.set(from.times.subarray(other * REMEMBERED, (other + 1) * REMEMBERED), light * REMEMBERED);
  changes.latest[light] = from.latest[other] as number;
}

/** Notes a change; the one that is longest ago is forgotten for it. */
export function note({ times, latest }: Changes, light: number, at: Millis): void {
  let oldest = light * REMEMBERED;
  for (let i = oldest + 1; i < (light + 1) * REMEMBERED; i++) if ((times[i] as number) < (times[oldest] as number)) oldest = i;
  times[oldest] = at;
  latest[light] = oldest - light * REMEMBERED;
}

/** The latest change went on until `at`. */
export function prolong({ times, latest }: Changes, light: number, at: Millis): void {
  const place = light * REMEMBERED + (latest[light] as number);
  if (at > (times[place] as number)) times[place] = at;
}

/** Changes in the second that ends at `now`, both its ends included, as it may be on the wire. */
export function countAt({ times }: Changes, light: number, now: Millis): number {
  let count = 0;
  for (let i = light * REMEMBERED; i < (light + 1) * REMEMBERED; i++)
    if ((times[i] as number) >= now - MILLIS_PER_SECOND - LATE - HAIR) count++;
  return count;
}

/** Whether a second that ends at `now` has room for so many changes more, where it may hold `most`. */
export const hasRoom = (changes: Changes, light: number, now: Millis, most: number, more: number): boolean =>
  countAt(changes, light, now) + more <= most;

/** All instants later by so much: the clock has been set back. */
export function shift(times: Float64Array, by: Millis): void {
  for (let i = 0; i < times.length; i++) times[i] = (times[i] as number) + by;
}

import type { Millis } from '../../core/units.ts';
import { type Changes, hasRoom, newChanges, note, prolong, takeChanges } from './changes.ts';

/**
 * WCAG 2.2, "general flash and red flash thresholds": a flash is a pair of opposing changes of at least 10 % of the greatest relative
 * luminance, where the darker state is below 0.80. The hair is for sums of floating point.
 */
const LEAST_CHANGE = 0.1 - 1e-9;
const DARKER_BELOW = 0.8;
/** Frames that are remembered: more than a second of the fastest refresh (44 a second, ANSI E1.11). */
const ROWS = 64;

/** How the luminance of lights has gone up and down, a slow fade of many frames being one change. Plain data. */
export interface Luminances {
  readonly lights: number;
  readonly changes: Changes;
  /** Where the last change led: 1 up, -1 down, 0 none yet. */
  readonly direction: Int8Array;
  /** Least and greatest luminance since then. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Luminance of every light in the last frames, when they were, and in its only place the number of the last of them. */
  readonly rows: Float64Array;
  readonly rowTimes: Float64Array;
  readonly row: Uint8Array;
}

export const newLuminances = (lights: number): Luminances => ({
  lights,
  changes: newChanges(lights),
  direction: new Int8Array(lights),
  low: new Float64Array(lights),
  high: new Float64Array(lights),
  rows: new Float64Array(lights * ROWS),
  rowTimes: new Float64Array(ROWS).fill(Number.NEGATIVE_INFINITY),
  row: new Uint8Array(1),
});

export function takeLuminance(to: Luminances, light: number, from: Luminances, other: number): void {
  takeChanges(to.changes, light, from.changes, other);
  to.direction[light] = from.direction[other] as number;
  to.low[light] = from.low[other] as number;
  to.high[light] = from.high[other] as number;
  for (let row = 0; row < ROWS; row++) to.rows[row * to.lights + light] = from.rows[row * from.lights + other] as number;
}

/** Since an instant a light has shown nothing, as far as frames are remembered. */
export function darkSince({ lights, rows, rowTimes }: Luminances, light: number, then: Millis): void {
  for (let row = 0; row < ROWS; row++) if ((rowTimes[row] as number) > then) rows[row * lights + light] = 0;
}

/** A new frame, in which lights show what they did before until {@link follow} tells otherwise. */
export function newRow({ lights, rows, rowTimes, row }: Luminances, now: Millis): void {
  const before = row[0] as number;
  const next = (before + 1) % ROWS;
  rows.copyWithin(next * lights, before * lights, (before + 1) * lights);
  row[0] = next;
  rowTimes[next] = now;
}

/** No frame that is sent follows another sooner, at the fastest refresh (44 a second, ANSI E1.11): what rises has room to fall with the next. */
const NEXT_FRAME: Millis = 22;
/**
 * How long a light may have to wait at most until it may go dark again. Beats as fast as the limit, and soft, leave so little room between
 * them that a rise begins so long before there is room for the fall; which comes when there is.
 */
const SOON: Millis = 300;

/**
 * Whether a light that shows what stands in its place of `shone` would break its limit, a second holding at most so many changes: 1 by rising, -1 by falling, 0 not.
 * It may rise where a second has room for that, and in time for the way back: soon, if it is `trusted`, else in the next frame.
 */
export function breach(
  of: Luminances,
  light: number,
  shone: Float64Array,
  now: Millis,
  most: number,
  trusted: boolean,
): -1 | 0 | 1 {
  const turn = turnAt(of, light, shone);
  if (turn === 0) return 0;
  settle(of, light);
  const { changes } = of;
  const isRoom = hasRoom(changes, light, now, most, 1);
  if (turn === 1) return isRoom && hasRoom(changes, light, now + (trusted ? SOON : NEXT_FRAME), most, 2) ? 0 : 1;
  return isRoom || !hasRoom(changes, light, now + SOON, most, 1) ? 0 : -1;
}

/** The light shows what stands in its place of `shone`. `counts`: a rise is a change, and not the first flash of a strobe, which is counted as such. */
export function follow(of: Luminances, light: number, shone: Float64Array, now: Millis, counts: boolean): void {
  const luminance = shone[light] as number;
  const turn = turnAt(of, light, shone);
  const { direction, low, high, changes } = of;
  if (turn !== 0) {
    settle(of, light);
    if (counts || turn < 0) note(changes, light, now);
    direction[light] = turn;
    low[light] = luminance;
    high[light] = luminance;
  } else {
    if (luminance < (low[light] as number)) low[light] = luminance;
    if (luminance > (high[light] as number)) high[light] = luminance;
  }
  of.rows[(of.row[0] as number) * of.lights + light] = luminance;
}

/** Whether a change begins with this luminance that opposes the last one: up, down, or none. */
export function turnAt({ direction, low, high }: Luminances, light: number, shone: Float64Array): -1 | 0 | 1 {
  const luminance = shone[light] as number;
  const least = low[light] as number;
  if (direction[light] !== 1 && luminance - least >= LEAST_CHANGE && least < DARKER_BELOW) return 1;
  if (direction[light] !== -1 && (high[light] as number) - luminance >= LEAST_CHANGE && luminance < DARKER_BELOW) return -1;
  return 0;
}

/**
 * A change is in every second that holds as much of it as makes a change: until the frame after the last one from which there was still so
 * far to go.
 */
export function settle(
  { lights, changes, direction, low, high, rows, rowTimes, row }: Luminances,
  light: number,
  least = LEAST_CHANGE,
  darkerBelow = DARKER_BELOW,
): void {
  const went = direction[light] as number;
  if (went === 0) return;
  const far = went === 1 ? Math.min((high[light] as number) - least, darkerBelow) : (low[light] as number) + least;
  let after = Number.NEGATIVE_INFINITY;
  let wasThere = false;
  for (let i = 0; i < ROWS; i++) {
    const place = ((row[0] as number) - i + ROWS) % ROWS;
    const luminance = rows[place * lights + light] as number;
    const isThere = went === 1 ? luminance > far : luminance < far;
    // What has gone back since, by as much and yet without being a change, is no part of it.
    if (!isThere && wasThere) break;
    if (!isThere) continue;
    wasThere = true;
    after = rowTimes[place] as number;
  }
  prolong(changes, light, after);
}

import type { Millis } from '../../core/units.ts';
import { toXyz } from '../../light/oklab.ts';
import { type Changes, hasRoom, newChanges, note, takeChanges } from './changes.ts';

/** WCAG 2.2, note on the red flash: a state whose R/(R + G + B) is at least 0.8, and another that is further than 0.2 from it in u'v'. */
const RED_SHARE = 0.8;
const RED_DISTANCE = 0.2;
/** Least R − G − B that counts (WCAG 2.0, note on the red flash: 20 of 320), of light where white is 1. */
export const LEAST_RED = 20 / 320;
/** Red against dark counts too. Dark is half as much light, so that what flickers about the limit is not both in turn. */
const DARK = LEAST_RED / 2;

/** No frame that is sent follows another sooner, at the fastest refresh (44 a second, ANSI E1.11). */
export const NEXT_FRAME: Millis = 22;

/** How lights have alternated between saturated red and something else. Plain data. */
export interface Reds {
  readonly changes: Changes;
  readonly isRed: Uint8Array;
  /** When the light was first seen to be no longer wholly in the state, red or not, that it counts as; not a number while it is. */
  readonly leftAt: Float64Array;
  /** u' and v' of it when it was red last. */
  readonly u: Float64Array;
  readonly v: Float64Array;
}

export const newReds = (lights: number): Reds => ({
  changes: newChanges(lights),
  isRed: new Uint8Array(lights),
  leftAt: new Float64Array(lights).fill(Number.NaN),
  u: new Float64Array(lights),
  v: new Float64Array(lights),
});

export function takeRed(to: Reds, light: number, from: Reds, other: number): void {
  takeChanges(to.changes, light, from.changes, other);
  to.isRed[light] = from.isRed[other] as number;
  to.leftAt[light] = from.leftAt[other] as number;
  to.u[light] = from.u[other] as number;
  to.v[light] = from.v[other] as number;
}

/** Whether a light that shows this, linear red, green and blue from `at` on, turns red with it. */
export const turnsRed = ({ isRed }: Reds, light: number, shown: Float64Array, at: number): boolean =>
  isRed[light] === 0 && isSaturated(shown, at);

/** Whether a light may turn red: there is room for that and for the way back. */
export const mayTurnRed = ({ changes }: Reds, light: number, now: Millis, most: number): boolean =>
  hasRoom(changes, light, now, most, 1) && hasRoom(changes, light, now + NEXT_FRAME, most, 2);

/** The light shows this now. */
export function followRed(of: Reds, light: number, shown: Float64Array, at: number, now: Millis): void {
  const { isRed, leftAt } = of;
  const saturated = isSaturated(shown, at);
  const was = isRed[light] === 1;
  const other = !saturated && isOther(of, light, shown, at);
  if (was ? saturated : other) leftAt[light] = Number.NaN;
  else if (Number.isNaN(leftAt[light])) leftAt[light] = now;
  if (was ? other : saturated) {
    note(of.changes, light, leftAt[light] as number);
    isRed[light] = was ? 0 : 1;
    leftAt[light] = Number.NaN;
  }
  if (!saturated) return;
  toChromaticity(shown, at);
  of.u[light] = uv[0] as number;
  of.v[light] = uv[1] as number;
}

/** How much of a light is red that its green and blue do not make up for. */
export const redOf = (shown: Float64Array, at: number): number =>
  (shown[at] as number) - (shown[at + 1] as number) - (shown[at + 2] as number);

/** A red that counts as saturated, and of which there is enough. */
export function isSaturated(shown: Float64Array, at: number): boolean {
  const red = shown[at] as number;
  return red >= RED_SHARE * (red + (shown[at + 1] as number) + (shown[at + 2] as number)) && redOf(shown, at) > LEAST_RED;
}

/** Dark, or of a colour that is far from the red that it was last. */
function isOther({ u, v }: Reds, light: number, shown: Float64Array, at: number): boolean {
  if ((shown[at] as number) + (shown[at + 1] as number) + (shown[at + 2] as number) < DARK) return true;
  toChromaticity(shown, at);
  const across = (uv[0] as number) - (u[light] as number);
  const along = (uv[1] as number) - (v[light] as number);
  return across * across + along * along > RED_DISTANCE * RED_DISTANCE;
}

const xyz = new Float64Array(3);
/** What {@link toChromaticity} found last: made anew it would be a heap of pairs in every frame. */
const uv = new Float64Array(2);

/** CIE 1976 u' and v': u' = 4X / (X + 15Y + 3Z), v' = 9Y / (X + 15Y + 3Z). */
function toChromaticity(shown: Float64Array, at: number): void {
  for (let i = 0; i < 3; i++) xyz[i] = shown[at + i] as number;
  toXyz(xyz);
  const X = xyz[0] as number;
  const Y = xyz[1] as number;
  const sum = X + 15 * Y + 3 * (xyz[2] as number);
  uv[0] = (4 * X) / sum;
  uv[1] = (9 * Y) / sum;
}

import type { Millis } from '../../core/units.ts';
import { hasRoom, note } from './changes.ts';
import { type Luminances, newLuminances, settle, takeLuminance } from './luminance.ts';
import { isSaturated, LEAST_RED, NEXT_FRAME, redOf } from './red.ts';

/**
 * How the red of lights has gone up and down: WCAG 2.0, note on the red flash, counts changes of R − G − B by more than 20 of 320 where one of
 * both states is a saturated red. So a red that never goes dark and keeps its colour flashes too, which by WCAG 2.2 it would not. What is
 * noted is R − G − B in the place of luminance. Plain data.
 */
export interface RedLevels extends Luminances {
  /** Least and greatest of the saturated states since the last change. */
  readonly lowSaturated: Float64Array;
  readonly highSaturated: Float64Array;
}

export const newRedLevels = (lights: number): RedLevels => ({
  ...newLuminances(lights),
  lowSaturated: new Float64Array(lights).fill(Number.POSITIVE_INFINITY),
  highSaturated: new Float64Array(lights).fill(Number.NEGATIVE_INFINITY),
});

export function takeRedLevel(to: RedLevels, light: number, from: RedLevels, other: number): void {
  takeLuminance(to, light, from, other);
  to.lowSaturated[light] = from.lowSaturated[other] as number;
  to.highSaturated[light] = from.highSaturated[other] as number;
}

/** Whether a change of red begins with this that opposes the last one: up, down, or none. */
export function redTurnAt(of: RedLevels, light: number, shown: Float64Array, at: number): -1 | 0 | 1 {
  const { direction, low, high, lowSaturated, highSaturated } = of;
  const red = Math.max(0, redOf(shown, at));
  const saturated = isSaturated(shown, at);
  const least = (saturated ? low : lowSaturated)[light] as number;
  if (direction[light] !== 1 && red - least > LEAST_RED) return 1;
  const most = (saturated ? high : highSaturated)[light] as number;
  if (direction[light] !== -1 && most - red > LEAST_RED) return -1;
  return 0;
}

/** Whether a light may become redder: there is room for that and for the way back. */
export function mayRedden(of: RedLevels, light: number, now: Millis, most: number): boolean {
  settle(of, light, LEAST_RED, Number.POSITIVE_INFINITY);
  return hasRoom(of.changes, light, now, most, 1) && hasRoom(of.changes, light, now + NEXT_FRAME, most, 2);
}

/** The light shows this now. */
export function followRedLevel(of: RedLevels, light: number, shown: Float64Array, at: number, now: Millis): void {
  const { changes, direction, low, high, lowSaturated, highSaturated } = of;
  const red = Math.max(0, redOf(shown, at));
  const turn = redTurnAt(of, light, shown, at);
  if (turn !== 0) {
    settle(of, light, LEAST_RED, Number.POSITIVE_INFINITY);
    note(changes, light, now);
    direction[light] = turn;
    low[light] = red;
    high[light] = red;
    lowSaturated[light] = Number.POSITIVE_INFINITY;
    highSaturated[light] = Number.NEGATIVE_INFINITY;
  } else {
    low[light] = Math.min(low[light] as number, red);
    high[light] = Math.max(high[light] as number, red);
  }
  of.rows[(of.row[0] as number) * of.lights + light] = red;
  if (!isSaturated(shown, at)) return;
  lowSaturated[light] = Math.min(lowSaturated[light] as number, red);
  highSaturated[light] = Math.max(highSaturated[light] as number, red);
}

/**
 * Counts flashes as WCAG 2.x does ("general flash and red flash thresholds"): a pair of opposing changes of at least 10 % of the
 * greatest relative luminance, where the darker state is below 0.80. A pair is placed at the instant at which its light began to rise,
 * so that lamps that rise together, some by more and some by less, are seen to do so.
 */
const LEAST_CHANGE = 0.1;
const DARKER_BELOW = 0.8;

/** Instants, in seconds, at which one lamp has flashed. `light` is its relative luminance 0..1, sampled every `step` seconds. */
export function flashes(light: readonly number[], step: number): number[] {
  const found: number[] = [];
  let [lowest, highest] = [light[0] ?? 0, light[0] ?? 0];
  let lowestAt = 0;
  let hasFallen = false;
  for (const [i, value] of light.entries()) {
    if (hasFallen) {
      if (value <= lowest) [lowest, lowestAt] = [value, i];
      if (value - lowest < LEAST_CHANGE - 1e-9) continue;
      if (lowest < DARKER_BELOW) found.push(lowestAt * step);
      [hasFallen, highest] = [false, value];
    } else {
      highest = Math.max(highest, value);
      if (highest - value >= LEAST_CHANGE - 1e-9) [hasFallen, lowest, lowestAt] = [true, value, i];
    }
  }
  return found;
}

/** Lamps that begin to rise within a tenth of a second give one ragged flash. Far below a third: three a second are never hidden by it. */
const AT_ONCE = 0.1;

/** Flashes that a guest may see who has all lamps in view: those of one instant are one flash, those that alternate add up. */
export function together(lamps: readonly (readonly number[])[]): number[] {
  const all: number[] = [];
  for (const time of lamps.flat().sort((a, b) => a - b)) {
    const last = all.at(-1);
    if (last === undefined || time - last > AT_ONCE) all.push(time);
  }
  return all;
}

/** The most that fall into any one second, its end not counted: a flash every third of a second is three. */
export function mostInOneSecond(times: readonly number[]): number {
  return Math.max(0, ...times.map((from) => times.filter((time) => time >= from && time < from + 1 - 1e-9).length));
}

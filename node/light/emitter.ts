import { cross, plus, size, type Triple } from '../core/vector.ts';

/** CIE 1931 XYZ of one emitter at full; Y is its light in any unit that all emitters of a lamp share. */
export interface Emitter {
  readonly X: number;
  readonly Y: number;
  readonly Z: number;
}

/** From chromaticity and strength. `y` must be above 0. */
export const emitterAt = (x: number, y: number, strength: number): Emitter => ({
  X: (x / y) * strength,
  Y: strength,
  Z: ((1 - x - y) / y) * strength,
});

/** Emitters of one chromaticity: to a mixture they are one, and each of them gives its share by being as far up as the others. */
export interface Bundle {
  /** Their XYZ together. */
  readonly light: Triple;
  /** Their places among the lamp's emitters. */
  readonly members: readonly number[];
}

/** Sine of the angle between two XYZ that are one chromaticity: a ten-thousandth of what an eye tells apart. */
const SAME = 1e-7;

/** What a lamp really mixes from. Emitters without any light are in none of them. */
export function bundlesOf(emitters: readonly Emitter[]): Bundle[] {
  const bundles: Bundle[] = [];
  for (const [place, { X, Y, Z }] of emitters.entries()) {
    const light: Triple = [X, Y, Z];
    if (size(light) === 0) continue;
    const at = bundles.findIndex((one) => size(cross(one.light, light)) <= SAME * size(one.light) * size(light));
    const same = bundles[at];
    if (same === undefined) bundles.push({ light, members: [place] });
    else bundles[at] = { light: plus(same.light, light), members: [...same.members, place] };
  }
  return bundles;
}

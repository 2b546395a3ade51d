import type { Triple } from '../core/vector.ts';
import { xyzOf } from './colour-matching.ts';
import { emitterAt } from './emitter.ts';
import { gamutOf, moveInto, toUv } from './gamut.ts';
import { oklabToXyz, xyzToOklab } from './oklab.ts';

/**
 * A plane on which a person finds a colour of light by eye: hue across, how strong it is upwards, from white to the purest light of that hue. How
 * bright it is has no place in it, for that is a level's business: a and b of Oklab grow with L, so hue and C / L belong to the chromaticity alone.
 *
 * It is laid out so, and neither as a round nor as CIE u'v', because clients want pale colours most: those lie in a heap around white in
 * both, and here they have the whole width. Upwards a step is a step to the eye: an eye tells less and less apart the stronger a colour is, by
 * 1 + 0.045 C* (CIEDE2000, its weight for chroma). Each hue ends at the purest light there is of it, so that no place of the plane is no colour.
 */
export interface Place {
  /** 0..1 from left to right. */
  readonly across: number;
  /** 0 white, 1 the purest. */
  readonly up: number;
}

/** Hue in degrees of Oklab at the left edge: where few themes are, so that warm colours lie together in the middle. */
const LEFT = 200;
/** C* for a C / L of 1 in light of 18 %, by 0.045: what CIEDE2000 divides a step of chroma by grows so with C / L. */
const DULLER = 7.6;
/** Weaker than this no hue is seen. */
const NO_HUE = 0.002;
/** Ends of the spectrum in nanometres that lamps give light of: beyond them an eye is all but blind. Common practice, no source. */
const [SHORTEST, LONGEST] = [450, 640];

/** Pure light of the spectrum: with the purples between its ends it is all that there can be. */
const pure = gamutOf(
  Array.from({ length: (LONGEST - SHORTEST) / 2 + 1 }, (_, i) => {
    const nm = SHORTEST + 2 * i;
    const [X, Y, Z] = xyzOf([nm - 1, nm + 1].map((at) => ({ nm: at, energy: 1 })));
    return emitterAt(X / (X + Y + Z), Y / (X + Y + Z), 1);
  }),
);

/** CIE 1931 chromaticity of a hue in radians at a C / L; undefined where it is none. */
function chromaticityAt(hue: number, strength: number): readonly [x: number, y: number] | undefined {
  const xyz = new Float64Array(3);
  oklabToXyz([1, strength * Math.cos(hue), strength * Math.sin(hue)], 0, xyz);
  const [X, Y, Z] = xyz as unknown as Triple;
  return Y > 0 && X + Y + Z > 0 ? [X / (X + Y + Z), Y / (X + Y + Z)] : undefined;
}

function isLight(hue: number, strength: number): boolean {
  const at = chromaticityAt(hue, strength);
  if (at === undefined) return false;
  const { u, v } = toUv(...at);
  return moveInto(pure, Float64Array.of(u, v));
}

/** The greatest C / L of each whole degree of hue. */
const strongest = Array.from({ length: 360 }, (_, degree) => {
  let [least, most] = [0, 2];
  for (let i = 0; i < 24; i++) {
    const middle = (least + most) / 2;
    if (isLight((degree * Math.PI) / 180, middle)) least = middle;
    else most = middle;
  }
  return least;
});

function strongestOf(degrees: number): number {
  const below = Math.floor(degrees);
  const [from, to] = [strongest[below % 360] as number, strongest[(below + 1) % 360] as number];
  return from + (to - from) * (degrees - below);
}

/** CIE 1931 chromaticity at a place. */
export function chromaticityAtPlace({ across, up }: Place): readonly [x: number, y: number] {
  const degrees = (LEFT + 360 * across) % 360;
  const strength = ((1 + DULLER * strongestOf(degrees)) ** up - 1) / DULLER;
  return chromaticityAt((degrees * Math.PI) / 180, strength) ?? [0.3127, 0.329];
}

/** Where a chromaticity lies; what is stronger than its hue has room for, at the top. White lies in the middle. */
export function placeOf(x: number, y: number): Place {
  const [L, a, b] = xyzToOklab([x / y, 1, (1 - x - y) / y]);
  const strength = Math.hypot(a, b) / L;
  if (strength < NO_HUE) return { across: 0.5, up: 0 };
  const degrees = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  const up = Math.log1p(DULLER * strength) / Math.log1p(DULLER * strongestOf(degrees));
  return { across: ((degrees - LEFT + 360) % 360) / 360, up: Math.min(1, up) };
}

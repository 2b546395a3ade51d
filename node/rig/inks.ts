import type { AttributeName } from '../core/attributes.ts';
import { LampColour } from '../light/lamp-colour.ts';
import { xyzToOklab } from '../light/oklab.ts';
import type { Lamp } from './rig.ts';

/** Filters that together make any colour of a white: each takes its share of one primary away. */
export const inkNames = ['ColorSub_C', 'ColorSub_M', 'ColorSub_Y'] as const satisfies readonly AttributeName[];

/** How far each filter is in, and how far what comes through is from the colour that was asked for, by CIEDE2000. */
export interface Inks {
  readonly inks: readonly [cyan: number, magenta: number, yellow: number];
  readonly off: number;
}

/** A lamp that makes its colours by taking light away. */
export const takesAway = ({ emitters, cells }: Lamp): boolean => emitters.length === 0 && inkNames.every((name) => cells.has(name));

/**
 * What filters let through, as the primaries of sRGB (IEC 61966-2-1) beside the lamp's own white. That each filter takes a share of one primary and nothing of the others is common practice, no source: dyes of no lamp are so clean.
 */
const through = new LampColour(['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'], {
  ColorAdd_R: { x: 0.64, y: 0.33, flux: 0.2126 },
  ColorAdd_G: { x: 0.3, y: 0.6, flux: 0.7152 },
  ColorAdd_B: { x: 0.15, y: 0.06, flux: 0.0722 },
});

/** The filters that leave most light of a chromaticity, which is told beside the white of a screen: white less ink. */
export function inksFor(x: number, y: number): Inks {
  const { off } = through.reach(x, y);
  const shares = new Float64Array(3);
  // Of the brightest mixture no more than that is asked: Oklab of the chromaticity at the luminance of all three.
  through.mix(Float64Array.from(xyzToOklab([x / y, 1, (1 - x - y) / y])), 0, shares);
  const [red, green, blue] = shares as unknown as [number, number, number];
  return { inks: [1 - red, 1 - green, 1 - blue], off };
}

import type { FixtureType } from './fixture-type.ts';
import type { RigFixture } from './rig.ts';

/** How bright a lamp is in the middle of its beam with all emitters at full, in candela. */
export interface Brightness {
  readonly candela: number;
  /** Nothing is known of this lamp: it is what is usual for its kind, or for what it is used for. */
  readonly isGuess: boolean;
}

/** Candela that are usual by use, between the least and the greatest: common practice, no source. */
const usual: Readonly<Record<string, readonly [least: number, most: number]>> = {
  uplight: [1500, 6000],
  'dance wash': [3000, 15_000],
  'ceiling wash': [3000, 15_000],
  totem: [1500, 6000],
  facade: [3000, 20_000],
  blinder: [20_000, 35_000],
  spot: [20_000, 120_000],
  beam: [500_000, 5_000_000],
  texture: [1000, 5000],
  centrepiece: [10_000, 40_000],
};
const ANY: readonly [number, number] = [1500, 15_000];

/**
 * Of one lamp of a fixture, its whole or a part. What is measured goes first: intensities of its emitters, then its flux with the angle of its
 * beam; then what is usual. What somebody has said by eye of this one (`strength` in the patch) goes over all of it.
 * @param full what the strengths of its emitters come to together
 */
export function brightnessOf(
  { type, use, adjust, lamps }: Pick<RigFixture, 'type' | 'use' | 'adjust' | 'lamps'>,
  full: number,
): Brightness {
  const by = adjust.strength ?? 1;
  const lit = Math.max(1, lamps.length - 1);
  const known = measured(type, full, lit);
  if (known !== undefined) return { candela: known * by, isGuess: false };
  const [least, most] = type.typical?.candela ?? usual[use] ?? ANY;
  // They spread over a decade: the middle by ratio.
  return { candela: (Math.sqrt(least * most) / lit) * by, isGuess: adjust.strength === undefined };
}

function measured({ strengths, beam }: FixtureType, full: number, lit: number): number | undefined {
  if (strengths === 'candela') return full;
  const flux = strengths === 'lumen' ? full : beam?.flux === undefined ? undefined : beam.flux / lit;
  return flux === undefined || beam === undefined || beam.angle <= 0 || flux <= 0 ? undefined : intensityOf(flux, beam.angle);
}

/** Candela in the middle of a beam of so many lumens that falls off as a bell curve to half at half its full angle: I = Φ ln 2 / (π h²). */
export function intensityOf(lumens: number, degrees: number): number {
  const half = (degrees / 2) * (Math.PI / 180);
  return (lumens * Math.LN2) / (Math.PI * half * half);
}

import type { FixtureType } from './fixture-type.ts';
import { beamsOf } from './lamp-beams.ts';
import type { Lamp, RigFixture } from './rig.ts';

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
 * Of one lamp of a fixture, its whole or a part. What is measured goes first: intensities of its emitters, then the flux of its beams with their
 * angles; then what is usual. What somebody has said by eye of this one (`strength` in the patch) goes over all of it.
 * @param full what the strengths of its emitters come to together; 0 for a lamp without any
 */
export function brightnessOf(
  fixture: Pick<RigFixture, 'type' | 'use' | 'adjust' | 'lamps'>,
  lamp: Pick<Lamp, 'channels'>,
  full: number,
): Brightness {
  const { type, use, adjust, lamps } = fixture;
  const by = adjust.strength ?? 1;
  const lit = Math.max(1, lamps.length - 1);
  const known = measured(type, lamp, full, lit);
  if (known !== undefined) return { candela: known * by, isGuess: false };
  const [least, most] = type.typical?.candela ?? usual[use] ?? ANY;
  // They spread over a decade: the middle by ratio.
  return { candela: (Math.sqrt(least * most) / lit) * by, isGuess: adjust.strength === undefined };
}

/**
 * GDTF, DIN SPEC 15800:2022-02: LuminousIntensity of a measurement is that of the emitter over all, so of the lamp whose channel works it;
 * LuminousFlux of a beam is that of all emitters in it, and the beams of a lamp, each by its angle, add up.
 */
function measured(type: FixtureType, lamp: Pick<Lamp, 'channels'>, full: number, lit: number): number | undefined {
  const { strengths, beam } = type;
  if (strengths === 'candela' && full > 0) return full;
  const beams = beamsOf(type, lamp);
  if (strengths === 'lumen' && full > 0) return intensity(full, beams[0] ?? beam);
  const each = beams.map((one) => intensity(one.flux, one));
  if (each.length > 0 && each.every((one) => one !== undefined)) return each.reduce((sum, one) => sum + one, 0);
  return intensity(beam?.flux === undefined ? undefined : beam.flux / lit, beam);
}

const intensity = (flux: number | undefined, beam: { readonly angle: number } | undefined): number | undefined =>
  flux === undefined || beam === undefined || beam.angle <= 0 || flux <= 0 ? undefined : intensityOf(flux, beam.angle);

/** Candela in the middle of a beam of so many lumens that falls off as a bell curve to half at half its full angle: I = Φ ln 2 / (π h²). */
export function intensityOf(lumens: number, degrees: number): number {
  const half = (degrees / 2) * (Math.PI / 180);
  return (lumens * Math.LN2) / (Math.PI * half * half);
}

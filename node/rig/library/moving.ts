import type { FixtureTypeInput } from '../fixture-type.ts';
import type { ChannelRow } from './layout.ts';

/*
 * What turns its light about, by two axes of which the second sits on the first. All of it is common practice without a source: how far axes
 * turn, how fast they do and how fast they come to it, each between the least and the greatest of its kind; and the sizes of bodies.
 */

type Typical = NonNullable<FixtureTypeInput['typical']>;
/** Of each axis degrees a second, and degrees a second more with each second. */
type Paces = NonNullable<Typical['axes']>;
type Piece = NonNullable<FixtureTypeInput['geometry']>[number];

/** Heads of ten kilograms and less; larger ones take longer, and mirrors next to no time. */
export const paces = {
  light: { pan: { speed: [150, 270], acceleration: [300, 900] }, tilt: { speed: [120, 240], acceleration: [300, 900] } },
  heavy: { pan: { speed: [110, 220], acceleration: [200, 600] }, tilt: { speed: [100, 200], acceleration: [200, 600] } },
  mirror: { pan: { speed: [400, 1200], acceleration: [4000, 20_000] }, tilt: { speed: [300, 800], acceleration: [4000, 20_000] } },
} as const satisfies Readonly<Record<string, Paces>>;

/** They spread by a factor: the middle by ratio. */
const middle = ([least, most]: readonly [number, number]): number => Math.round(Math.sqrt(least * most));

/** An axis over its degrees in two bytes, as fast as is usual. */
const axis = (slot: number, attribute: 'Pan' | 'Tilt', physical: [number, number], of: Paces['pan']): ChannelRow => ({
  slot,
  geometry: attribute,
  functions: [{ attribute, physical, speed: middle(of.speed), acceleration: middle(of.acceleration) }],
});

/** Pan over 540 and tilt over 270 degrees in 16 bits, in the first four slots. */
export const panAndTilt = ({ pan, tilt }: Paces): ChannelRow[] => [
  { ...axis(1, 'Pan', [-270, 270], pan), fine: 2 },
  { ...axis(3, 'Tilt', [-135, 135], tilt), fine: 4 },
];

/** Pan over 160 and tilt over 80 degrees of the light, in 8 bits: a mirror turns it by twice its own angle. */
export const mirrored = ({ pan, tilt }: Paces): ChannelRow[] => [axis(1, 'Pan', [-80, 80], pan), axis(2, 'Tilt', [-40, 40], tilt)];

const below = (metres: number): number[] => [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, -metres];

type Light = Pick<NonNullable<Piece['beam']>, 'type' | 'angle' | 'field'> & { readonly radius: number };

/**
 * A head hung by its base, as GDTF draws it: the yoke turns about the vertical below the base (pan), the head about the yoke's horizontal (tilt),
 * and the light leaves downwards. @param reach metres from the base to the axis of the tilt
 */
export const headOf = (reach: number, beam: Light): Piece[] => [
  { name: 'Base', kind: 'body' },
  { name: 'Pan', kind: 'axis', on: 0, position: below(0.1) },
  { name: 'Tilt', kind: 'axis', on: 1, position: below(reach - 0.1) },
  { name: 'Beam', kind: 'beam', on: 2, position: below(0.15), beam },
];

/** Rows of quarter turns about X, with no offset: Z to Y, and back. */
const toY = [1, 0, 0, 0, 0, 0, 1, 0, 0, -1, 0, 0];
const toZ = [1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0];

/**
 * A mirror in front of a lamp that does not move: both axes are the mirror's, and lie across the light, which goes down at rest as a head's does. Pan
 * turns it about Y, to the sides; tilt about X.
 */
export const mirrorOf = (beam: Light): Piece[] => [
  { name: 'Base', kind: 'body' },
  { name: 'Pan', kind: 'axis', on: 0, position: toY },
  { name: 'Tilt', kind: 'axis', on: 1 },
  { name: 'Beam', kind: 'beam', on: 2, position: toZ, beam },
];

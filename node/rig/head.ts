import type { Triple } from '../core/vector.ts';
import type { Channel, FixtureType } from './fixture-type.ts';
import { isLaser } from './is-laser.ts';
import { type Pose, placedBy } from './pose.ts';
import type { Lamp, RigFixture } from './rig.ts';
import { moved, nowhere, type Placed, placedOn, turned } from './space.ts';

type AxisName = 'Pan' | 'Tilt';
type Piece = NonNullable<FixtureType['geometry']>[number];

/**
 * A head that stands in the room: what turns its light about, and how far and how fast. Plain data.
 * `law` are six triples: direction and point of the axis that is fixed to the body, of the one that it carries, and of the light, all as they lie in the
 * room at angles of 0 (metres).
 */
export interface Head {
  readonly law: Float64Array;
  /** The axis that is fixed to the body, then the one that it carries. */
  readonly outer: Axis;
  readonly inner: Axis;
}

/** Angles are what a frame says: {@link Axis.factor} and `offset` turn those of the lamp's own axis into them, as the patch inverts it. */
export interface Axis {
  readonly cell: number;
  readonly factor: 1 | -1;
  readonly offset: number;
  /** Degrees of its own that it turns between, by its channel and by the limits of the patch. */
  readonly least: number;
  readonly most: number;
  /** Degrees a second, and degrees a second more with each second; infinite where nobody tells. */
  readonly speed: number;
  readonly acceleration: number;
  /** The piece of its body that turns by it. */
  readonly geometry: string | undefined;
}

/** A lamp that turns its light about by two axes, in the room; undefined for one that does not, that has no place there, or that is a laser. */
export function headOf(fixture: RigFixture, lamp: Lamp): Head | undefined {
  const { pose, type } = fixture;
  const axes = axesOf(fixture, lamp);
  // Where a laser shines is the business of whoever is licensed for it.
  if (pose === undefined || axes === undefined || isLaser(fixture)) return undefined;
  const { law, panIsOuter } = lawOf(type, axes.pan.geometry, axes.tilt.geometry);
  return {
    law: inRoom(law, pose),
    outer: panIsOuter ? axes.pan : axes.tilt,
    inner: panIsOuter ? axes.tilt : axes.pan,
  };
}

/**
 * Where the light of a lamp that does not turn leaves from, metres, and its direction, of length 1: along the first of its beams, or down its body; undefined
 * for one that turns, that has no place in the room, or that is a laser.
 */
export function fixedLight(fixture: RigFixture): Float64Array | undefined {
  const { pose, type, lamps } = fixture;
  const turns = lamps.some(({ cells }) => cells.has('Pan') || cells.has('Tilt') || cells.has('PanRotate'));
  if (pose === undefined || turns || isLaser(fixture)) return undefined;
  const { geometry = [] } = type;
  const beamAt = geometry.findIndex(({ kind }) => kind === 'beam');
  const placed = placedOn(placedBy(pose), beamAt < 0 ? nowhere : placeOf(geometry, beamAt));
  return Float64Array.from([...placed.offset, ...turned(placed.rotation, [0, 0, -1])]);
}

/** The axes of a lamp that turns its light about by two, wherever it is. */
export function axesOf(fixture: RigFixture, lamp: Lamp): { readonly pan: Axis; readonly tilt: Axis } | undefined {
  const pan = jobOf(lamp, 'Pan');
  const tilt = jobOf(lamp, 'Tilt');
  if (pan === undefined || tilt === undefined) return undefined;
  return { pan: axisOf('Pan', pan, lamp, fixture), tilt: axisOf('Tilt', tilt, lamp, fixture) };
}

interface AxisJob {
  readonly channel: Channel;
  readonly least: number;
  readonly most: number;
  readonly speed: number;
  readonly acceleration: number;
}

function jobOf({ channels }: Lamp, name: AxisName): AxisJob | undefined {
  for (const channel of channels) {
    const job = channel.functions.find(({ attribute }) => attribute === name);
    if (job === undefined) continue;
    const [a, b] = job.physical;
    const { speed = Number.POSITIVE_INFINITY, acceleration = Number.POSITIVE_INFINITY } = job;
    return { channel, least: Math.min(a, b), most: Math.max(a, b), speed, acceleration };
  }
  return undefined;
}

/** As `dmx/job.ts` has it: swapped, the show's pan drives the lamp's tilt; inverted, an axis is mirrored about the middle of its own range. */
function axisOf(
  name: AxisName,
  { least, most, speed, acceleration, channel: { geometry } }: AxisJob,
  { cells }: Lamp,
  { adjust }: RigFixture,
): Axis {
  const inverted = adjust.invert?.[name === 'Pan' ? 'pan' : 'tilt'] === true;
  const asked = adjust.swapPanTilt === true ? (name === 'Pan' ? 'Tilt' : 'Pan') : name;
  const [factor, offset] = inverted ? ([-1, least + most] as const) : ([1, 0] as const);
  const limits = adjust.limits?.[asked === 'Pan' ? 'pan' : 'tilt'] ?? [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  const [first, last] = limits.map((limit) => offset + factor * limit).sort((a, b) => a - b) as [number, number];
  return {
    cell: cells.get(asked) as number,
    factor,
    offset,
    least: Math.min(most, Math.max(least, first)),
    most: Math.max(least, Math.min(most, last)),
    speed,
    acceleration,
    geometry,
  };
}

/** In metres of the body of a fixture: of GDTF, X right, Y to the front, Z up, as it hangs by its base. */
interface Law {
  readonly directions: readonly [Triple, Triple, Triple];
  readonly points: readonly [Triple, Triple, Triple];
}

/** Of a head whose body nobody tells of: pan about the vertical, tilt a forearm below the base, light down at rest. Common practice, no source. */
const usual: Law = {
  directions: [
    [0, 0, 1],
    [1, 0, 0],
    [0, 0, -1],
  ],
  points: [
    [0, 0, -0.1],
    [0, 0, -0.35],
    [0, 0, -0.5],
  ],
};

/** Pan turns about the Z axis of its geometry, tilt about the X axis of its own, light leaves along the -Z of the beam's (GDTF; the two axes from memory). */
function lawOf(
  { geometry = [] }: FixtureType,
  pan: string | undefined,
  tilt: string | undefined,
): { law: Law; panIsOuter: boolean } {
  const panAt = geometry.findIndex(({ name }) => name === pan);
  const tiltAt = geometry.findIndex(({ name }) => name === tilt);
  if (pan === undefined || tilt === undefined || panAt < 0 || tiltAt < 0) return { law: usual, panIsOuter: true };
  const panIsOuter = !hangsOn(geometry, panAt, tiltAt);
  const innerAt = panIsOuter ? tiltAt : panAt;
  const beamAt = geometry.findIndex(
    ({ kind }, place) => (kind === 'beam' || kind === 'laser') && hangsOn(geometry, place, innerAt),
  );
  const axes = { pan: placeOf(geometry, panAt), tilt: placeOf(geometry, tiltAt) };
  const beam = placeOf(geometry, beamAt < 0 ? innerAt : beamAt);
  const turns = [turned(axes.pan.rotation, [0, 0, 1]), turned(axes.tilt.rotation, [1, 0, 0])] as const;
  const at = [axes.pan.offset, axes.tilt.offset] as const;
  const [outer, inner] = panIsOuter ? [0, 1] : [1, 0];
  const law: Law = {
    directions: [turns[outer] as Triple, turns[inner] as Triple, turned(beam.rotation, [0, 0, -1])],
    points: [at[outer] as Triple, at[inner] as Triple, beam.offset],
  };
  return { law, panIsOuter };
}

function hangsOn(geometry: readonly Piece[], place: number, on: number): boolean {
  for (let at: number | undefined = place; at !== undefined; at = geometry[at]?.on) if (at === on) return true;
  return false;
}

function placeOf(geometry: readonly Piece[], at: number): Placed {
  const { on, position } = geometry[at] as Piece;
  const own = position === undefined ? nowhere : placedIn(position);
  return on === undefined ? own : placedOn(placeOf(geometry, on), own);
}

const placedIn = (p: readonly number[]): Placed => ({
  rotation: [p[0], p[1], p[2], p[4], p[5], p[6], p[8], p[9], p[10]] as unknown as Placed['rotation'],
  offset: [p[3], p[7], p[11]] as unknown as Triple,
});

function inRoom({ directions, points }: Law, pose: Pose): Float64Array {
  const placed = placedBy(pose);
  return Float64Array.from(
    [0, 1, 2].flatMap((i) => [...turned(placed.rotation, directions[i] as Triple), ...moved(placed, points[i] as Triple)]),
  );
}

import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import type { Triple } from '../../core/vector.ts';
import { type Axis, type Head, headOf } from '../../rig/head.ts';
import { type Point, type Pose, placedBy } from '../../rig/pose.ts';
import type { Lamp, RigFixture } from '../../rig/rig.ts';
import { moved, type Placed, toDegrees, turned } from '../../rig/space.ts';
import { ownAngle, RAY, shine } from '../../rig/turning.ts';
import type { Angles } from '../../show/document.ts';

/** A known point of the room, and the angles of a frame at which a head was seen to point at it. */
export interface Mark {
  readonly at: Point;
  readonly angles: Angles;
}

export interface Calibrated {
  readonly pose: Pose;
  /** Metres by which each mark is missed, in their order: where the beam meets the mark's level. */
  readonly misses: readonly number[];
}

/** With fewer nobody can tell where a head is. */
export const FEWEST_MARKS = 3;

/** How well people read angles off a beam's middle, in degrees. Common practice, no source. */
const READING = 0.1;
/**
 * How far what was typed may be off: metres, and degrees of leaning. Marks outweigh it wherever they tell anything; it decides where they tell
 * nothing. Where a head faces is not held to what was typed: people mistake that. Common practice, no source.
 */
const TYPED = { place: 1.5, lean: 2 } as const;
/** Where a head may face, besides as it was typed: degrees off that. */
const STARTS = [0, 60, -60, 120, -120, 180] as const;
/** A beam flatter than this meets no level near a mark: sine of 8 degrees. */
const FLAT = 0.14;

/** In the axes of the body of a fixture: there a head hangs true in the corner of the room. */
const asBody: Pose = { x: 0, y: 0, z: 0, put: 'hung', facing: 90, forward: 0, aside: 0 };

/** A mark, and the beam that pointed at it, in metres of the head's body: that is the same wherever the head is. */
interface Seen {
  readonly at: Point;
  readonly from: Triple;
  readonly along: Triple;
}

/**
 * Where a head is and how it lies, from marks that it was pointed at: by least squares (Levenberg-Marquardt) over what its beam misses each
 * mark by, as seen from its lens, beginning where it was roughly said to be. It is put up as was said.
 * @returns undefined for too few marks, or for a lamp that does not turn
 */
export function calibrate(fixture: RigFixture, lamp: Lamp, marks: readonly Mark[], rough: Pose): Calibrated | undefined {
  const head = headOf({ ...fixture, pose: asBody }, lamp);
  if (marks.length < FEWEST_MARKS || head === undefined) return undefined;
  const seen = marks.map((mark) => seenBy(head, lamp, mark));
  const count = 3 * marks.length + HELD.length;
  const data = { x: Array.from({ length: count }, (_, i) => i), y: new Array<number>(count).fill(0) };
  const solve = (initialValues: number[], maxIterations: number) =>
    levenbergMarquardt(
      data,
      (values) => {
        const all = offBy(seen, rough, values);
        return (i) => all[i] as number;
      },
      {
        ...{ initialValues, maxIterations },
        damping: 1,
        gradientDifference: 1e-4,
        centralDifference: true,
        errorTolerance: 1e-9,
        // Angles turn on past any bound, heads do not lie outside of halls.
        minValues: [-30, -30, -30, -1000, -45, -45],
        maxValues: [30, 30, 30, 1000, 45, 45],
      },
    );
  const [first, ...others] = STARTS.map((off) => solve([0, 0, 0, off, 0, 0], 40)) as [Solved, ...Solved[]];
  const best = others.reduce((one, other) => (other.parameterError < one.parameterError ? other : one), first);
  const pose = tidy(movedBy(rough, solve(best.parameterValues, 120).parameterValues));
  return { pose, misses: seen.map((one) => missOnLevel(placedBy(pose), one)) };
}
type Solved = ReturnType<typeof levenbergMarquardt>;

function seenBy(head: Head, lamp: Lamp, { at, angles }: Mark): Seen {
  const ray = new Float64Array(RAY);
  const told = ({ cell }: Axis): number => (cell === lamp.cells.get('Pan') ? angles.pan : angles.tilt);
  const { outer, inner } = head;
  shine(head, ownAngle(outer, told(outer)), ownAngle(inner, told(inner)), ray);
  const [x, y, z, dx, dy, dz] = ray as unknown as [number, number, number, number, number, number];
  return { at, from: [x, y, z], along: [dx, dy, dz] };
}

/** What is held to what was typed: which of the values, and how loosely. */
const HELD = [
  [0, TYPED.place],
  [1, TYPED.place],
  [2, TYPED.place],
  [4, TYPED.lean],
  [5, TYPED.lean],
] as const;

/** Everything that is off, each in shares of how far it may well be. */
function offBy(seen: readonly Seen[], rough: Pose, values: readonly number[]): number[] {
  const placed = placedBy(movedBy(rough, values));
  const missed = seen.flatMap(({ at, from, along }) => {
    const [x, y, z] = moved(placed, from);
    const goes = turned(placed.rotation, along);
    const to = [at.x - x, at.y - y, at.z - z] as const;
    const far = Math.max(1e-6, Math.hypot(...to));
    return goes.map((one, k) => toDegrees(one - (to[k] as number) / far) / READING);
  });
  return [...missed, ...HELD.map(([at, loose]) => (values[at] as number) / loose)];
}

const movedBy = (pose: Pose, [x, y, z, turn, forward, aside]: readonly number[]): Pose => ({
  put: pose.put,
  x: pose.x + (x as number),
  y: pose.y + (y as number),
  z: pose.z + (z as number),
  facing: pose.facing + (turn as number),
  forward: pose.forward + (forward as number),
  aside: pose.aside + (aside as number),
});

/** Metres from a mark to where a beam meets its level; of a beam that hardly does, to the beam itself. */
function missOnLevel(placed: Placed, { at, from, along }: Seen): number {
  const [x, y, z] = moved(placed, from);
  const [dx, dy, dz] = turned(placed.rotation, along);
  const [tx, ty, tz] = [at.x - x, at.y - y, at.z - z];
  const far = Math.abs(dz) < FLAT ? tx * dx + ty * dy + tz * dz : tz / dz;
  return far <= 0 ? Math.hypot(tx, ty, tz) : Math.hypot(far * dx - tx, far * dy - ty, far * dz - tz);
}

/** To the millimetre and a hundredth of a degree; angles as the document has them. */
function tidy({ put, x, y, z, facing, forward, aside }: Pose): Pose {
  const to = (parts: number) => (value: number) => Math.round(value * parts) / parts;
  const [length, angle] = [to(1000), to(100)];
  const around = facing - 360 * Math.round(facing / 360);
  return { x: length(x), y: length(y), z: length(z), put, facing: angle(around), forward: angle(forward), aside: angle(aside) };
}

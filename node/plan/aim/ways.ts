import type { Axis, Head } from '../../rig/head.ts';
import type { Point } from '../../rig/pose.ts';
import { toDegrees } from '../../rig/space.ts';
import { bestInner, bestOuter, ownAngle, RAY, shine, solvePoint, toldAngle } from '../../rig/turning.ts';

/** One of the ways in which a head can look at something: angles as a frame says them, degrees, of its outer axis and of its inner one. */
export interface Way {
  /**
   * Which it is, the same for a point beside it and after a restart: twice the whole turns of the outer axis, and one more for the flip, by
   * which the inner axis leans the other way.
   */
  readonly number: number;
  readonly outer: number;
  readonly inner: number;
}

export interface Ways {
  /** At least one. Of those that get there all; else the one that comes nearest. */
  readonly ways: readonly [Way, ...Way[]];
  /** Degrees, seen from the lens, by which the nearest misses; 0 where it is in reach. */
  readonly off: number;
}

const FULL = 360;
/** Rounding does not put an end stop out of reach. Degrees. */
const HARDLY = 1e-9;

/** Every way in which a head can look at a point of the room, in metres. */
export function waysTo(head: Head, { x, y, z }: Point): Ways {
  const angles = new Float64Array(4);
  solvePoint(head, x, y, z, 0, angles);
  const found: Way[] = [];
  for (const flip of [0, 1]) {
    const own = { outer: angles[2 * flip] as number, inner: angles[2 * flip + 1] as number };
    for (const outer of turnsWithin(head.outer, own.outer))
      for (const inner of turnsWithin(head.inner, own.inner)) found.push(wayOf(head, flip, own.outer, outer, inner));
  }
  const there = found.filter((way) => missOf(head, way, x, y, z) < REACHED);
  const [first, ...more] = there;
  if (first !== undefined) return { ways: [first, ...more], off: 0 };
  return nearest(head, x, y, z);
}

/** Nobody sees a tenth of this. Degrees. */
const REACHED = 0.05;

const wayOf = (head: Head, flip: number, base: number, outer: number, inner: number): Way => ({
  number: 2 * Math.round((outer - base) / FULL) + flip,
  outer: toldAngle(head.outer, outer),
  inner: toldAngle(head.inner, inner),
});

/** The same angle with every whole turn that the axis can be at. */
function turnsWithin({ least, most }: Axis, angle: number): number[] {
  const found: number[] = [];
  for (let one = angle + FULL * Math.ceil((least - HARDLY - angle) / FULL); one <= most + HARDLY; one += FULL)
    found.push(Math.min(most, Math.max(least, one)));
  return found;
}

/** Of the angles that the axes can be at those by which the light comes nearest: on an end stop, or on two. */
function nearest(head: Head, x: number, y: number, z: number): Ways {
  const candidates: [outer: number, inner: number][] = [];
  const direction = new Float64Array(3);
  const seen = { outer: middleOf(head.outer), inner: middleOf(head.inner) };
  const look = (outer: number, inner: number): void => {
    const ray = new Float64Array(RAY);
    shine(head, outer, inner, ray);
    const to = [x, y, z].map((one, k) => one - (ray[k] as number));
    const far = Math.max(1e-9, Math.hypot(...to));
    for (const [k, one] of to.entries()) direction[k] = one / far;
  };
  for (const outer of [head.outer.least, head.outer.most]) {
    look(outer, seen.inner);
    const best = bestInner(head, outer, direction);
    for (const inner of [...turnsWithin(head.inner, best), head.inner.least, head.inner.most]) candidates.push([outer, inner]);
  }
  for (const inner of [head.inner.least, head.inner.most]) {
    look(seen.outer, inner);
    const best = bestOuter(head, inner, direction, seen.outer);
    for (const outer of turnsWithin(head.outer, best)) candidates.push([outer, inner]);
  }
  const ranked = candidates
    .map(([outer, inner]) => wayOf(head, 0, outer, outer, inner))
    .map((way) => ({ way, miss: missOf(head, way, x, y, z) }))
    .sort((a, b) => a.miss - b.miss);
  const [best] = ranked as [(typeof ranked)[number], ...typeof ranked];
  return { ways: [best.way], off: best.miss };
}

const middleOf = ({ least, most }: Axis): number => (least + most) / 2;

/** Degrees between where the light goes and where the point is, seen from the lens. */
export function missOf(head: Head, { outer, inner }: Pick<Way, 'outer' | 'inner'>, x: number, y: number, z: number): number {
  const ray = new Float64Array(RAY);
  shine(head, ownAngle(head.outer, outer), ownAngle(head.inner, inner), ray);
  const [ox, oy, oz, dx, dy, dz] = ray as unknown as [number, number, number, number, number, number];
  const [tx, ty, tz] = [x - ox, y - oy, z - oz];
  const cross = Math.hypot(dy * tz - dz * ty, dz * tx - dx * tz, dx * ty - dy * tx);
  return toDegrees(Math.atan2(cross, dx * tx + dy * ty + dz * tz));
}

/** Where a head stands: angles as a frame says them. */
export interface Stand {
  readonly outer: number;
  readonly inner: number;
}

/**
 * The way that a head gets to soonest from where it stands: both axes turn at once, each at its own speed. Of those as soon the one with fewer degrees
 * to turn, then the one nearer the middle of its ranges.
 */
export function leastTravel({ outer, inner }: Head, ways: readonly [Way, ...Way[]], from: Stand): Way {
  const [first, ...others] = ways;
  return others.reduce((best, way) => (compare(way, best) < 0 ? way : best), first);

  function compare(a: Way, b: Way): number {
    const [c, d] = [cost(a), cost(b)];
    for (let i = 0; i < c.length; i++) {
      const by = (c[i] as number) - (d[i] as number);
      if (Math.abs(by) > HARDLY) return by;
    }
    return 0;
  }
  function cost(way: Way): readonly [time: number, degrees: number, offMiddle: number] {
    const [p, t] = [Math.abs(way.outer - from.outer), Math.abs(way.inner - from.inner)];
    return [Math.max(p / paceOf(outer), t / paceOf(inner)), p + t, offMiddle(outer, way.outer) + offMiddle(inner, way.inner)];
  }
}

/** Where nobody tells how fast axes are all are taken for as fast as each other. */
const paceOf = ({ speed }: Axis): number => (Number.isFinite(speed) ? speed : 180);
const offMiddle = (axis: Axis, told: number): number => Math.abs(ownAngle(axis, told) - middleOf(axis));

import type { Axis, Head } from './head.ts';
import { toDegrees, toRadians } from './space.ts';

/*
 * Angles of heads and what their light does by them, worked out while a frame is drawn: numbers go in and out by arrays that are made once, so that
 * nothing is put on the heap. Both ways by the product of two rotations (Murray, Li, Sastry: A Mathematical Introduction to Robotic Manipulation, 1994,
 * section 3.3: subproblems 1 and 2 of Paden and Kahan; from memory).
 */

/** Where its light leaves from, metres, and its direction: what {@link shine} gives. */
export const RAY = 6;

const OUTER = 0;
const OUTER_AT = 3;
const INNER = 6;
const INNER_AT = 9;
const BEAM = 12;
const BEAM_AT = 15;

/** Angles of the lamp's own axes out of what a frame says of them, and back. */
export const ownAngle = ({ factor, offset }: Axis, told: number): number => (told - offset) * factor;
export const toldAngle = ({ factor, offset }: Axis, own: number): number => offset + factor * own;

/** The light of a head by its own angles, in degrees, into six numbers of `ray` from `at` on. */
export function shine({ law }: Head, outer: number, inner: number, ray: Float64Array, at = 0): void {
  // Where it leaves from, beside the outer axis.
  for (let k = 0; k < 3; k++) ray[at + k] = (law[BEAM_AT + k] as number) - (law[INNER_AT + k] as number);
  rotate(ray, at, law, INNER, inner);
  for (let k = 0; k < 3; k++) ray[at + k] = (ray[at + k] as number) + (law[INNER_AT + k] as number) - (law[OUTER_AT + k] as number);
  rotate(ray, at, law, OUTER, outer);
  for (let k = 0; k < 3; k++) ray[at + k] = (ray[at + k] as number) + (law[OUTER_AT + k] as number);
  for (let k = 0; k < 3; k++) ray[at + 3 + k] = law[BEAM + k] as number;
  rotate(ray, at + 3, law, INNER, inner);
  rotate(ray, at + 3, law, OUTER, outer);
}

/** Turns three numbers about an axis of the law: Rodrigues' formula, right-handed, in degrees. */
function rotate(of: Float64Array, at: number, law: Float64Array, axis: number, degrees: number): void {
  const [x, y, z] = [of[at] as number, of[at + 1] as number, of[at + 2] as number];
  const [a, b, c] = [law[axis] as number, law[axis + 1] as number, law[axis + 2] as number];
  const s = Math.sin(toRadians(degrees));
  const cos = Math.cos(toRadians(degrees));
  const along = (a * x + b * y + c * z) * (1 - cos);
  of[at] = x * cos + (b * z - c * y) * s + a * along;
  of[at + 1] = y * cos + (c * x - a * z) * s + b * along;
  of[at + 2] = z * cos + (a * y - b * x) * s + c * along;
}

/** Degrees by which one direction has to be turned about an axis so that it comes nearest another; `otherwise` where turning changes nothing. */
function turnBetween(law: Float64Array, axis: number, from: Float64Array, to: Float64Array, otherwise: number): number {
  const [a, b, c] = [law[axis] as number, law[axis + 1] as number, law[axis + 2] as number];
  const [fx, fy, fz] = [from[0] as number, from[1] as number, from[2] as number];
  const [tx, ty, tz] = [to[0] as number, to[1] as number, to[2] as number];
  const fromAlong = a * fx + b * fy + c * fz;
  const toAlong = a * tx + b * ty + c * tz;
  const cosine = fx * tx + fy * ty + fz * tz - fromAlong * toAlong;
  const sine = a * (fy * tz - fz * ty) + b * (fz * tx - fx * tz) + c * (fx * ty - fy * tx);
  return Math.hypot(cosine, sine) < 1e-9 ? otherwise : toDegrees(Math.atan2(sine, cosine));
}

const middle = new Float64Array(3);
const start = new Float64Array(3);

/**
 * The two pairs of own angles by which the light of a head goes along `direction` (of length 1), into `angles`: outer, inner, outer, inner, each as it
 * comes, -180..180; or of the pairs, 0 and 1, from `first` to `last` alone. Where no turning gets there, both the nearest. Straight along the outer axis that stays `at`.
 */
export function solveDirection(
  { law }: Head,
  direction: Float64Array,
  at: number,
  angles: Float64Array,
  first = 0,
  last = 1,
): void {
  let [ab, bc, ad] = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    ab += (law[OUTER + k] as number) * (law[INNER + k] as number);
    bc += (law[INNER + k] as number) * (law[BEAM + k] as number);
    ad += (law[OUTER + k] as number) * (direction[k] as number);
  }
  const flat = 1 - ab * ab;
  const alpha = (ad - ab * bc) / flat;
  const beta = (bc - ab * ad) / flat;
  const gamma = Math.sqrt(Math.max(0, (1 - alpha * alpha - beta * beta - 2 * alpha * beta * ab) / flat));
  for (let k = 0; k < 3; k++) start[k] = law[BEAM + k] as number;
  for (let i = first; i <= last; i++) {
    // A direction as the inner axis leaves it and the outer one takes it on.
    for (let k = 0; k < 3; k++) {
      const [next, last] = [(k + 1) % 3, (k + 2) % 3];
      const over =
        (law[OUTER + next] as number) * (law[INNER + last] as number) -
        (law[OUTER + last] as number) * (law[INNER + next] as number);
      middle[k] = alpha * (law[OUTER + k] as number) + beta * (law[INNER + k] as number) + (i === 0 ? gamma : -gamma) * over;
    }
    angles[2 * i] = turnBetween(law, OUTER, middle, direction, at);
    angles[2 * i + 1] = turnBetween(law, INNER, start, middle, 0);
  }
}

const ray = new Float64Array(RAY);
const wanted = new Float64Array(3);
/** Light leaves from elsewhere by other angles: by some decimetres, metres away, so each time what is left of it is a tenth. */
const TIMES = 6;

/** {@link solveDirection} for a point of the room, metres: each pair by where the light leaves from with it. */
export function solvePoint(head: Head, x: number, y: number, z: number, at: number, angles: Float64Array): void {
  towards(head, at, 0, x, y, z);
  solveDirection(head, wanted, at, angles);
  for (let pair = 0; pair < 2; pair++)
    for (let i = 0; i < TIMES; i++) {
      towards(head, angles[2 * pair] as number, angles[2 * pair + 1] as number, x, y, z);
      solveDirection(head, wanted, at, angles, pair, pair);
    }
}

/** Direction from where the light of a head leaves to a point. */
function towards(head: Head, outer: number, inner: number, x: number, y: number, z: number): void {
  shine(head, outer, inner, ray);
  const [dx, dy, dz] = [x - (ray[0] as number), y - (ray[1] as number), z - (ray[2] as number)];
  const far = Math.max(1e-9, Math.hypot(dx, dy, dz));
  wanted[0] = dx / far;
  wanted[1] = dy / far;
  wanted[2] = dz / far;
}

/** Metres from a point to the axis that is fixed to the body: on it nothing tells how far the head has to turn. */
export function besideOuter({ law }: Head, x: number, y: number, z: number): number {
  const [dx, dy, dz] = [x - (law[OUTER_AT] as number), y - (law[OUTER_AT + 1] as number), z - (law[OUTER_AT + 2] as number)];
  const [a, b, c] = [law[OUTER] as number, law[OUTER + 1] as number, law[OUTER + 2] as number];
  return Math.hypot(dy * c - dz * b, dz * a - dx * c, dx * b - dy * a);
}

/** Of an axis the turn that is best while the other stands: what brings the light nearest `direction`. */
export function bestInner({ law }: Head, outer: number, direction: Float64Array): number {
  for (let k = 0; k < 3; k++) {
    middle[k] = direction[k] as number;
    start[k] = law[BEAM + k] as number;
  }
  rotate(middle, 0, law, OUTER, -outer);
  return turnBetween(law, INNER, start, middle, 0);
}

export function bestOuter({ law }: Head, inner: number, direction: Float64Array, at: number): number {
  for (let k = 0; k < 3; k++) start[k] = law[BEAM + k] as number;
  rotate(start, 0, law, INNER, inner);
  return turnBetween(law, OUTER, start, direction, at);
}

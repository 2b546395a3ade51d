import type { Triple } from '../core/vector.ts';
import { COMPARED_AT } from './difference.ts';
import { bundlesOf, type Emitter } from './emitter.ts';
import { xyzToOklab } from './oklab.ts';

/** A point in the CIE 1976 chromaticity diagram (u', v'): straight mixing lines as in xy, distances nearer to what the eye sees. */
export interface Chromaticity {
  readonly u: number;
  readonly v: number;
}

export const toUv = (x: number, y: number): Chromaticity => ({
  u: (4 * x) / (-2 * x + 12 * y + 3),
  v: (9 * y) / (-2 * x + 12 * y + 3),
});
export const toXy = (u: number, v: number): readonly [x: number, y: number] => [
  (9 * u) / (6 * u - 16 * v + 12),
  (4 * v) / (6 * u - 16 * v + 12),
];

/** A chromaticity that can be mixed. */
export interface Near {
  readonly x: number;
  readonly y: number;
  /** False where it is but the nearest to what was asked for, by distance in Oklab at equal luminance. */
  readonly exact: boolean;
}

/** Places looked at along an edge of a gamut: closer together than a just noticeable step. */
const PLACES = 256;

/** What a set of emitters can mix, by their chromaticities alone. It remembers what it was asked for. */
export class Gamut {
  readonly #corners: readonly Chromaticity[];
  /** Places along the edge, and how they look: a and b of Oklab. Made when a colour first lies outside. */
  #edge:
    | { readonly xy: readonly (readonly [x: number, y: number])[]; readonly a: Float64Array; readonly b: Float64Array }
    | undefined;
  readonly #known = new Map<string, Near>();

  constructor(emitters: readonly Emitter[]) {
    this.#corners = gamutOf(emitters);
  }

  nearest(x: number, y: number): Near {
    const key = `${x} ${y}`;
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    const near = this.#find(x, y);
    this.#known.set(key, near);
    return near;
  }

  /** Moves a chromaticity, x and y in `at`, to the nearest by distance in u'v': for what leaves the gamut on its way between two colours. */
  moveInto(at: Float64Array): void {
    const { u, v } = toUv(at[0] as number, at[1] as number);
    at[0] = u;
    at[1] = v;
    moveInto(this.#corners, at);
    const xy = toXy(at[0] as number, at[1] as number);
    at[0] = xy[0];
    at[1] = xy[1];
  }

  #find(x: number, y: number): Near {
    const { u, v } = toUv(x, y);
    if (moveInto(this.#corners, Float64Array.of(u, v))) return { x, y, exact: true };
    const [nearX, nearY] = this.#nearestToTheEye(x, y);
    return { x: nearX, y: nearY, exact: false };
  }

  /** The point on the edge that looks most like a colour outside: least distance in Oklab, as CSS Color 4 measures (ΔEOK). */
  #nearestToTheEye(x: number, y: number): readonly [x: number, y: number] {
    this.#edge ??= this.#walk();
    const { xy, a, b } = this.#edge;
    const [, wantedA, wantedB] = lookOf(x, y);
    let least = Number.POSITIVE_INFINITY;
    let best = 0;
    for (let i = 0; i < a.length; i++) {
      const offA = (a[i] as number) - wantedA;
      const offB = (b[i] as number) - wantedB;
      const distance = offA * offA + offB * offB;
      if (distance < least) [least, best] = [distance, i];
    }
    return xy[best] ?? [x, y];
  }

  #walk() {
    const xy = this.#corners.flatMap((from, i) => {
      const to = this.#corners[(i + 1) % this.#corners.length] ?? from;
      return Array.from({ length: PLACES }, (_, k) =>
        toXy(from.u + ((to.u - from.u) * k) / PLACES, from.v + ((to.v - from.v) * k) / PLACES),
      );
    });
    const looks = xy.map(([x, y]) => lookOf(x, y));
    return { xy, a: Float64Array.from(looks, ([, a]) => a), b: Float64Array.from(looks, ([, , b]) => b) };
  }
}

const lookOf = (x: number, y: number): Triple => xyzToOklab([(x / y) * COMPARED_AT, COMPARED_AT, ((1 - x - y) / y) * COMPARED_AT]);

/** The corners of what a set of emitters can mix, anticlockwise in u'v': their convex hull. One or two for a lamp of one or two emitters. */
export function gamutOf(emitters: readonly Emitter[]): Chromaticity[] {
  const points = bundlesOf(emitters)
    .map(({ light: [X, Y, Z] }) => ({ u: (4 * X) / (X + 15 * Y + 3 * Z), v: (9 * Y) / (X + 15 * Y + 3 * Z) }))
    .sort((a, b) => a.u - b.u || a.v - b.v)
    .filter((one, i, all) => i === 0 || one.u !== all[i - 1]?.u || one.v !== all[i - 1]?.v);
  if (points.length < 3) return points;
  return [...chain(points), ...chain([...points].reverse())];
}

/**
 * Moves a point of the diagram, u' and v' in `at`, to the nearest that can be mixed, by distance in u'v'. Works in place: it is called in
 * every frame of a fade that leaves the gamut. @returns whether the point was inside and stayed where it was
 */
export function moveInto(gamut: readonly Chromaticity[], at: Float64Array): boolean {
  const u = at[0] as number;
  const v = at[1] as number;
  let inside = gamut.length > 2;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < gamut.length; i++) {
    const from = gamut[i] as Chromaticity;
    const to = gamut[i + 1 < gamut.length ? i + 1 : 0] as Chromaticity;
    const du = to.u - from.u;
    const dv = to.v - from.v;
    if (du * (v - from.v) - dv * (u - from.u) < 0) inside = false;
    const length = du * du + dv * dv;
    const along = length === 0 ? 0 : Math.min(1, Math.max(0, ((u - from.u) * du + (v - from.v) * dv) / length));
    const [offU, offV] = [from.u + along * du - u, from.v + along * dv - v];
    const distance = offU * offU + offV * offV;
    if (distance >= least) continue;
    least = distance;
    at[0] = u + offU;
    at[1] = v + offV;
  }
  if (inside) {
    at[0] = u;
    at[1] = v;
  }
  return inside || least === 0;
}

/** Above 0 when `at` lies to the left of the way from `from` to `to`. */
const side = (from: Chromaticity, to: Chromaticity, at: Chromaticity): number =>
  (to.u - from.u) * (at.v - from.v) - (to.v - from.v) * (at.u - from.u);

/** Half of the hull (Andrew's monotone chain), without its last point. */
function chain(points: readonly Chromaticity[]): Chromaticity[] {
  const hull: Chromaticity[] = [];
  for (const point of points) {
    for (;;) {
      const [before, last] = [hull.at(-2), hull.at(-1)];
      if (before === undefined || last === undefined || side(before, last, point) > 0) break;
      hull.pop();
    }
    hull.push(point);
  }
  return hull.slice(0, -1);
}

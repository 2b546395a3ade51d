import type { Emitter } from './solve.ts';

/** A point in the CIE 1976 chromaticity diagram (u', v'): straight mixing lines as in xy, distances nearer to what the eye sees. */
export interface Chromaticity {
  readonly u: number;
  readonly v: number;
}

export const toUv = (x: number, y: number): Chromaticity => ({
  u: (4 * x) / (-2 * x + 12 * y + 3),
  v: (9 * y) / (-2 * x + 12 * y + 3),
});
export const toXy = ({ u, v }: Chromaticity): readonly [x: number, y: number] => [
  (9 * u) / (6 * u - 16 * v + 12),
  (4 * v) / (6 * u - 16 * v + 12),
];

/** The corners of what a set of emitters can mix, anticlockwise in u'v': their convex hull. One or two for a lamp of one or two emitters. */
export function gamutOf(emitters: readonly Emitter[]): Chromaticity[] {
  const points = emitters
    .map(({ X, Y, Z }) => ({ u: (4 * X) / (X + 15 * Y + 3 * Z), v: (9 * Y) / (X + 15 * Y + 3 * Z) }))
    .sort((a, b) => a.u - b.u || a.v - b.v)
    .filter((one, i, all) => i === 0 || one.u !== all[i - 1]?.u || one.v !== all[i - 1]?.v);
  if (points.length < 3) return points;
  return [...chain(points), ...chain([...points].reverse())];
}

/** The point itself where it can be mixed, else the nearest that can by distance in u'v'. */
export function nearestIn(
  gamut: readonly Chromaticity[],
  wanted: Chromaticity,
): { readonly at: Chromaticity; readonly inside: boolean } {
  let inside = gamut.length > 2;
  let at = gamut[0] ?? wanted;
  for (let i = 0; i < gamut.length; i++) {
    const from = gamut[i] as Chromaticity;
    const to = gamut[(i + 1) % gamut.length] as Chromaticity;
    if (side(from, to, wanted) < 0) inside = false;
    const near = nearestOn(from, to, wanted);
    if (distance(near, wanted) < distance(at, wanted)) at = near;
  }
  return inside ? { at: wanted, inside } : { at, inside: distance(at, wanted) === 0 };
}

const distance = (a: Chromaticity, b: Chromaticity): number => Math.hypot(a.u - b.u, a.v - b.v);

/** Above 0 when `at` lies to the left of the way from `from` to `to`. */
const side = (from: Chromaticity, to: Chromaticity, at: Chromaticity): number =>
  (to.u - from.u) * (at.v - from.v) - (to.v - from.v) * (at.u - from.u);

function nearestOn(from: Chromaticity, to: Chromaticity, at: Chromaticity): Chromaticity {
  const du = to.u - from.u;
  const dv = to.v - from.v;
  const length = du * du + dv * dv;
  const share = length === 0 ? 0 : Math.min(1, Math.max(0, ((at.u - from.u) * du + (at.v - from.v) * dv) / length));
  return { u: from.u + share * du, v: from.v + share * dv };
}

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

import type { Triple } from '../../core/vector.ts';
import { type Point, type Pose, pointOf } from '../../rig/pose.ts';
import { across, turned, turnedAbout } from '../../rig/space.ts';
import type { Landmark } from '../../show/document.ts';

/** How heads are dealt out over an area. */
export type Deal = 'row' | 'fan' | 'grid';

/**
 * Where each of some heads looks, in their order: at the middle of a landmark, or dealt out over its area. In a row they stand in equal parts of its longer
 * side, in their order; as a fan the same points go to them as they stand, so that no beam crosses another seen from above; in a grid they fill rows
 * along x, as square as the area permits.
 */
export function dealt(landmark: Landmark, deal: Deal | undefined, heads: readonly Pose[]): Point[] {
  const { area } = landmark;
  if (area === undefined || deal === undefined || heads.length === 0) return heads.map(() => landmark);
  const { width, depth } = area;
  const count = heads.length;
  if (deal === 'grid') {
    const columns = Math.min(count, Math.max(1, Math.round(Math.sqrt((count * width) / depth))));
    const rows = Math.ceil(count / columns);
    return heads.map((_, i) => {
      const row = Math.floor(i / columns);
      const inRow = row === rows - 1 ? count - columns * (rows - 1) : columns;
      return on(landmark, part(i % columns, inRow) * width, part(row, rows) * depth);
    });
  }
  const points = heads.map((_, i) =>
    width >= depth ? on(landmark, part(i, count) * width, 0) : on(landmark, 0, part(i, count) * depth),
  );
  return deal === 'row' ? points : asTheyStand(points, heads, along(landmark));
}

/** The middle of one of equal parts of a length, from its middle: -0.5..0.5. */
const part = (place: number, count: number): number => (place + 0.5) / count - 0.5;

/** A point of an area by its own sides, metres from its middle. */
function on({ x, y, z, area }: Landmark, u: number, v: number): Point {
  const [dx, dy] = turned(turnedAbout(across.z, area?.turned ?? 0), [u, v, 0]);
  return { x: x + dx, y: y + dy, z };
}

/** Direction of the longer side. */
const along = ({ area }: Landmark): Triple =>
  turned(turnedAbout(across.z, area?.turned ?? 0), (area?.width ?? 0) >= (area?.depth ?? 0) ? across.x : across.y);

/** Gives the first point to the head that stands first along a direction, and so on. */
function asTheyStand(points: readonly Point[], heads: readonly Pose[], direction: Triple): Point[] {
  const far = (head: Pose): number => pointOf(head).reduce((sum, one, k) => sum + one * (direction[k] as number), 0);
  const order = heads.map((_, i) => i).sort((a, b) => far(heads[a] as Pose) - far(heads[b] as Pose) || a - b);
  const places: Point[] = [...points];
  for (const [rank, head] of order.entries()) places[head] = points[rank] as Point;
  return places;
}

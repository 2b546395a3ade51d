import { toRadians } from '../../rig/space.ts';
import type { Landmark } from '../../show/document.ts';

/**
 * Where eyes of guests may be, metres: from those of a child or of somebody in a wheelchair to those of a tall person in shoes. Standing eyes are at
 * 1.4 to 1.83 m without shoes, seated ones at 1.04 to 1.34 m (facts of anthropometry as published by City University of Hong Kong; seated and the lower end
 * from memory).
 */
const EYES = { from: 0.8, to: 1.9 } as const;
/** Nobody stands nearer before a lamp: its stand and its cable are there. Metres. Common practice, no source. */
const NEAREST = 2;
/** No hall is longer. Metres. */
const FARTHEST = 60;
/** Places along a beam that are looked at between where it comes among eyes and where it leaves them. */
const LOOKS = 3;

/** Where the crowd is: on the floor everywhere, but over areas of which the show says otherwise. */
export interface Crowd {
  readonly areas: readonly Area[];
}

interface Area {
  readonly x: number;
  readonly y: number;
  readonly cos: number;
  readonly sin: number;
  readonly width: number;
  readonly depth: number;
  /** Metres; nobody: an empty stretch. */
  readonly from: number;
  readonly to: number;
}

export const crowdOf = (landmarks: readonly Landmark[]): Crowd => ({
  areas: landmarks.flatMap(({ x, y, area, people }) => {
    if (area === undefined || people === undefined) return [];
    const turned = toRadians(area.turned);
    const { from, to } = people === 'none' ? { from: 0, to: 0 } : people;
    return [{ x, y, cos: Math.cos(turned), sin: Math.sin(turned), width: area.width, depth: area.depth, from, to }];
  }),
});

/** Places of a beam that are looked at at most: on the floor, and over one area of which the show says otherwise. */
export const PLACES = 2 * LOOKS;
/** How many numbers {@link amongEyes} gives at most: x, y, and how far from the lens, each in metres. */
export const MOST_AMONG = 3 * PLACES;

/**
 * Places at which a ray goes among eyes, into `places` as x, y and the distance from its start.
 * @returns how many numbers were written
 */
export function amongEyes({ areas }: Crowd, ray: Float64Array, places: Float64Array): number {
  let count = along(areas, undefined, ray, places, 0);
  for (let i = 0; i < areas.length && count + 3 * LOOKS <= places.length; i++) count = along(areas, areas[i], ray, places, count);
  return count;
}

/** Places in the layer of eyes of an area, or of the floor around them all. */
function along(areas: readonly Area[], area: Area | undefined, ray: Float64Array, places: Float64Array, first: number): number {
  const { from, to } = area ?? EYES;
  const [x, y, z] = [ray[0] as number, ray[1] as number, ray[2] as number];
  const [dx, dy, dz] = [ray[3] as number, ray[4] as number, ray[5] as number];
  if (from >= to) return first;
  let [near, far] = [NEAREST, FARTHEST];
  if (Math.abs(dz) < 1e-9) {
    if (z < from || z > to) return first;
  } else {
    const [a, b] = [(from - z) / dz, (to - z) / dz];
    near = Math.max(near, Math.min(a, b));
    far = Math.min(far, Math.max(a, b));
  }
  if (near >= far) return first;
  let count = first;
  for (let i = 0; i < LOOKS; i++) {
    const s = near + ((far - near) * i) / (LOOKS - 1);
    const [px, py] = [x + s * dx, y + s * dy];
    if (area === undefined ? areas.some((one) => isOver(one, px, py)) : !isOver(area, px, py)) continue;
    places[count++] = px;
    places[count++] = py;
    places[count++] = s;
  }
  return count;
}

function isOver({ x, y, cos, sin, width, depth }: Area, px: number, py: number): boolean {
  const [u, v] = [(px - x) * cos + (py - y) * sin, (py - y) * cos - (px - x) * sin];
  return Math.abs(u) <= width / 2 && Math.abs(v) <= depth / 2;
}

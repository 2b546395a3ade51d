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

/** Areas of which the show says otherwise that are looked at along one beam: those that it comes to first. */
const AREAS = 2;
/** Places of a beam that are looked at at most: on the floor, and over some areas. */
export const PLACES = (1 + AREAS) * LOOKS;
/** How many numbers {@link amongEyes} gives at most: of each place its number, by which it is known in the next frame, x, y, and metres from the lens. */
export const PLACE = 4;
export const MOST_AMONG = PLACE * PLACES;

/** Which areas a beam comes to, and from where to where: what is found first, made anew in no frame. */
const over = { areas: new Int32Array(AREAS), near: new Float64Array(AREAS), far: new Float64Array(AREAS), count: 0 };
/** A stretch of a ray that was found last. */
const stretch = { near: 0, far: 0 };

/**
 * Places at which a ray goes among eyes, into `places`, of each {@link PLACE} numbers.
 * @returns how many numbers were written
 */
export function amongEyes({ areas }: Crowd, ray: Float64Array, places: Float64Array): number {
  let count = 0;
  if (within(EYES.from, EYES.to, ray)) count = looksAlong(areas, -1, 0, ray, places, count);
  over.count = 0;
  for (let i = 0; i < areas.length; i++) {
    const area = areas[i] as Area;
    if (area.from < area.to && within(area.from, area.to, ray) && across(area, ray)) comesTo(i);
  }
  for (let n = 0; n < over.count; n++) {
    stretch.near = over.near[n] as number;
    stretch.far = over.far[n] as number;
    count = looksAlong(areas, over.areas[n] as number, n + 1, ray, places, count);
  }
  return count;
}

/** Keeps an area in its order along the ray, if there is room. */
function comesTo(area: number): void {
  let at = over.count;
  while (at > 0 && (over.near[at - 1] as number) > stretch.near) at--;
  if (at >= AREAS) return;
  if (over.count < AREAS) over.count++;
  for (const row of [over.areas, over.near, over.far]) row.copyWithin(at + 1, at, over.count - 1);
  over.areas[at] = area;
  over.near[at] = stretch.near;
  over.far[at] = stretch.far;
}

/** The stretch of a ray between two heights that is not too near and not too far. @returns whether there is any */
function within(from: number, to: number, ray: Float64Array): boolean {
  stretch.near = NEAREST;
  stretch.far = FARTHEST;
  return cut(ray[2] as number, ray[5] as number, from, to);
}

/** What of it is over an area. */
function across({ x, y, cos, sin, width, depth }: Area, ray: Float64Array): boolean {
  const [px, py] = [(ray[0] as number) - x, (ray[1] as number) - y];
  const [dx, dy] = [ray[3] as number, ray[4] as number];
  return (
    cut(px * cos + py * sin, dx * cos + dy * sin, -width / 2, width / 2) &&
    cut(py * cos - px * sin, dy * cos - dx * sin, -depth / 2, depth / 2)
  );
}

/** Cuts the stretch to where a coordinate lies between two values (slab test). */
function cut(start: number, slope: number, least: number, most: number): boolean {
  if (Math.abs(slope) < 1e-9) return start >= least && start <= most && stretch.near < stretch.far;
  const [a, b] = [(least - start) / slope, (most - start) / slope];
  stretch.near = Math.max(stretch.near, Math.min(a, b));
  stretch.far = Math.min(stretch.far, Math.max(a, b));
  return stretch.near < stretch.far;
}

/** Places of the stretch: on the floor those over which no area says otherwise. `row`: by which they are numbered. */
function looksAlong(
  areas: readonly Area[],
  area: number,
  row: number,
  ray: Float64Array,
  places: Float64Array,
  first: number,
): number {
  const { near, far } = stretch;
  let count = first;
  for (let i = 0; i < LOOKS; i++) {
    const s = near + ((far - near) * i) / (LOOKS - 1);
    const [px, py] = [(ray[0] as number) + s * (ray[3] as number), (ray[1] as number) + s * (ray[4] as number)];
    if (area < 0 && areas.some((one) => isOver(one, px, py))) continue;
    places[count++] = row * LOOKS + i;
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

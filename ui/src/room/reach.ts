import { ceilingAt, floorAt, HEIGHT, type Surface, surfaceAt, WIDTH, wallAt } from './shape.ts';

/** How much of one light falls on each point of the picture, 0..1: a soft stand-in for a beam, since only the use is known. */
export type Reach = Float32Array;

export interface Grid {
  readonly columns: number;
  readonly rows: number;
}

const bell = (distance: number, width: number): number => Math.exp(-0.5 * (distance / width) ** 2);
const within = (low: number, x: number, high: number): number => Math.min(high, Math.max(low, x));

/** Which points of the picture lie across an edge of the room: 1 where one does. */
export function edgesOf({ columns, rows }: Grid): Uint8Array {
  const [right, down] = [WIDTH / columns / 4, HEIGHT / rows / 4];
  return Uint8Array.from({ length: columns * rows }, (_, i) => {
    const x = (((i % columns) + 0.5) * WIDTH) / columns;
    const y = ((Math.floor(i / columns) + 0.5) * HEIGHT) / rows;
    const seen = surfaceAt(x - right, y - down);
    const same =
      seen === surfaceAt(x + right, y - down) && seen === surfaceAt(x - right, y + down) && seen === surfaceAt(x + right, y + down);
    return same ? 0 : 1;
  });
}

/** Reach of light `index` of `count` on a surface: they stand side by side in the order of the show. */
export function reachOf(surface: Surface, index: number, count: number, { columns, rows }: Grid, edges: Uint8Array): Reach {
  const reach = new Float32Array(columns * rows);
  const point = points[surface]((index + 0.5) / count, count, index);
  const [right, down] = [WIDTH / columns / 4, HEIGHT / rows / 4];
  for (let i = 0; i < reach.length; i++) {
    const x = (((i % columns) + 0.5) * WIDTH) / columns;
    const y = ((Math.floor(i / columns) + 0.5) * HEIGHT) / rows;
    // Four looks where surfaces meet: the room's edges would be stairs with one.
    reach[i] =
      edges[i] === 0
        ? point(x, y)
        : (point(x - right, y - down) + point(x + right, y - down) + point(x - right, y + down) + point(x + right, y + down)) / 4;
  }
  return reach;
}

type Point = (x: number, y: number) => number;

const points: Readonly<Record<Surface, (at: number, count: number, index: number) => Point>> = {
  /** From a lamp at the foot of the wall: brightest low down, wider and weaker as it climbs. */
  walls: (at, count) => {
    const width = within(0.022, 0.36 / count, 0.1);
    return (x, y) => {
      const wall = wallAt(x);
      if (y < wall.top || y > wall.foot) return 0;
      const height = (wall.foot - y) / (wall.foot - wall.top);
      return (bell(wall.along - at, width * (0.55 + height)) * 1.15) / (1 + (height / 0.55) ** 2);
    };
  },
  ceiling: (at, count, index) => {
    const width = within(0.05, 0.42 / count, 0.2);
    const deep = count < 3 ? 0.5 : index % 2 === 0 ? 0.35 : 0.65;
    return (x, y) => {
      if (y > wallAt(x).top) return 0;
      const place = ceilingAt(x, y);
      return bell(place.across - at, width) * bell(place.deep - deep, 0.3);
    };
  },
  floor: (at, count, index) => {
    const width = within(0.06, 0.4 / count, 0.18);
    const deep = count < 3 ? 0.5 : index % 2 === 0 ? 0.38 : 0.62;
    return (x, y) => {
      if (y < wallAt(x).foot) return 0;
      const place = floorAt(x, y);
      return bell(place.across - 0.5 - (at - 0.5) * 0.8, width) * bell(place.deep - deep, 0.26);
    };
  },
};

import type { Point, Pose } from '../../../../node/rig/pose.ts';

/** Where some lights are said to be: in a line from the first to the last of them, all put up alike. What is not known yet is left out. */
export interface Placing {
  readonly first: Partial<Pick<Point, 'x' | 'y'>>;
  readonly last: Partial<Pick<Point, 'x' | 'y'>>;
  readonly pose: Pick<Pose, 'put' | 'facing'> & Partial<Pose>;
}

/** The places of so many, as far from each other; undefined: something is not known yet. One alone is where the first is. */
export function placedAlong({ first, last, pose }: Placing, count: number): Pose[] | undefined {
  const { z, put, facing, forward = 0, aside = 0 } = pose;
  const [a, b] = [pointOf(first), count > 1 ? pointOf(last) : pointOf(first)];
  if (a === undefined || b === undefined || z === undefined) return undefined;
  const between = (from: number, to: number, i: number): number => tidy(from + (to - from) * (count > 1 ? i / (count - 1) : 0));
  return Array.from({ length: count }, (_, i) => ({
    ...{ x: between(a.x, b.x, i), y: between(a.y, b.y, i), z },
    ...{ put, facing, forward, aside },
  }));
}

const pointOf = ({ x, y }: Placing['first']) => (x === undefined || y === undefined ? undefined : { x, y });

/** To the millimetre. */
const tidy = (metres: number): number => Math.round(metres * 1000) / 1000;

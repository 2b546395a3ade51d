import { z } from 'zod';
import type { Triple } from '../core/vector.ts';
import { across, type Placed, product, type Rotation, turnedAbout } from './space.ts';

/** Metres along an axis of the room. */
export const metres = z.number().min(-1000).max(1000);
/** A point of the room: right-handed axes of the show's own choice, z up, the floor at 0. */
export const point = z.strictObject({ x: metres, y: metres, z: metres });
export type Point = z.infer<typeof point>;

/** How a fixture is put up: by which way its base looks. */
export const puts = ['standing', 'hung', 'sideways'] as const;

const degrees = z.number().min(-360).max(360);
const lean = z.number().min(-90).max(90);

/**
 * Where a fixture is in the room, its base, and how it looks from there. A head turns with it: hung, its base looks up; standing is a half turn
 * about the horizontal axis from its back to its front, by which pan runs the other way seen from above; sideways its base is at a wall behind it.
 */
export const pose = z.strictObject({
  ...point.shape,
  put: z.enum(puts),
  /** Degrees from the room's x axis, counted towards y: where its front looks, to which tilt leads; sideways where its light goes at rest. */
  facing: degrees,
  /** Degrees by which it is out of true: over its front, and over its right side. */
  forward: lean.default(0),
  aside: lean.default(0),
});
export type Pose = z.infer<typeof pose>;

export const pointOf = ({ x, y, z }: Point): Triple => [x, y, z];

/** Rows of what turns the body of a fixture (GDTF: X right, Y to its front, Z up, hung) into the way that it is put up. */
const putUp: Readonly<Record<Pose['put'], Rotation>> = {
  hung: [1, 0, 0, 0, 1, 0, 0, 0, 1],
  standing: [-1, 0, 0, 0, 1, 0, 0, 0, -1],
  // Its light at rest, down the body, goes to where it faces, its front is up.
  sideways: [1, 0, 0, 0, 0, -1, 0, 1, 0],
};

/** How the body of a fixture lies in the room. */
export function placedBy({ x, y, z, put, facing, forward, aside }: Pose): Placed {
  const turned = turnedAbout(across.z, facing - 90);
  const leaning = product(turnedAbout(across.x, forward), turnedAbout(across.y, aside));
  return { rotation: product(product(turned, putUp[put]), leaning), offset: [x, y, z] };
}

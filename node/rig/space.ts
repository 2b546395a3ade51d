import type { Triple } from '../core/vector.ts';

/** Rows of a rotation of the room, one after the other. */
export type Rotation = readonly [number, number, number, number, number, number, number, number, number];

/** Something turned, then moved. */
export interface Placed {
  readonly rotation: Rotation;
  /** Metres. */
  readonly offset: Triple;
}

export const across = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] } as const satisfies Readonly<Record<string, Triple>>;

export const nowhere: Placed = { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], offset: [0, 0, 0] };

const RADIANS = Math.PI / 180;
export const toRadians = (degrees: number): number => degrees * RADIANS;
export const toDegrees = (radians: number): number => radians / RADIANS;

/** Rodrigues' formula, right-handed, in degrees. @param axis of length 1 */
export function turnedAbout([x, y, z]: Triple, degrees: number): Rotation {
  const [s, c] = [Math.sin(toRadians(degrees)), Math.cos(toRadians(degrees))];
  const k = 1 - c;
  return [
    ...[c + x * x * k, x * y * k - z * s, x * z * k + y * s],
    ...[y * x * k + z * s, c + y * y * k, y * z * k - x * s],
    ...[z * x * k - y * s, z * y * k + x * s, c + z * z * k],
  ] as unknown as Rotation;
}

export const turned = ([a, b, c, d, e, f, g, h, i]: Rotation, [x, y, z]: Triple): Triple => [
  a * x + b * y + c * z,
  d * x + e * y + f * z,
  g * x + h * y + i * z,
];

/** First the second, then the first. */
export function product(left: Rotation, right: Rotation): Rotation {
  const columns = [0, 1, 2].map((k) => turned(left, [right[k], right[k + 3], right[k + 6]] as unknown as Triple));
  return [0, 1, 2].flatMap((row) => columns.map((column) => column[row] as number)) as unknown as Rotation;
}

export function moved({ rotation, offset }: Placed, point: Triple): Triple {
  const [x, y, z] = turned(rotation, point);
  return [x + offset[0], y + offset[1], z + offset[2]];
}

/** What is placed by the second on what is placed by the first. */
export const placedOn = (on: Placed, one: Placed): Placed => ({
  rotation: product(on.rotation, one.rotation),
  offset: moved(on, one.offset),
});

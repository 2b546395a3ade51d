/** Three numbers that belong together: a colour by its parts, a point of the room in metres, a direction. */
export type Triple = readonly [number, number, number];

/** Vectors of three, for what is worked out beforehand: each makes a new one. */
export const dot = ([a, b, c]: Triple, [x, y, z]: Triple): number => a * x + b * y + c * z;
export const cross = ([a, b, c]: Triple, [x, y, z]: Triple): Triple => [b * z - c * y, c * x - a * z, a * y - b * x];
export const plus = ([a, b, c]: Triple, [x, y, z]: Triple): Triple => [a + x, b + y, c + z];
export const scaled = ([a, b, c]: Triple, by: number): Triple => [a * by, b * by, c * by];
export const size = (of: Triple): number => Math.sqrt(dot(of, of));
export const unit = (of: Triple): Triple => scaled(of, 1 / size(of));

/** Some direction across one whose three parts are not below 0. */
export const perpendicular = ([a, b, c]: Triple): Triple => unit(a > 0 ? [b + c, -a, -a] : [1, 0, 0]);

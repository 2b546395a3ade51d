/**
 * An attribute frame: one number for every attribute of every fixture, in the units of `attributes.ts`.
 * Which number is which is fixed by the rig (`rig/rig.ts`) when the show is compiled.
 */
export type Frame = Float64Array;

import type { Frame } from '../core/frame.ts';
import type { Beats, Level, Millis } from '../core/units.ts';

/** Which cells a program speaks of, ascending: all that can be asked of it without drawing it. */
export interface Extent {
  /** Every cell that it may touch. */
  readonly touches: Uint32Array;
  /** Cells that it hides wholly at full weight. */
  readonly covers: Uint32Array;
}

/** Values by cell; cells ascend, each once. */
export interface CellValues {
  readonly cells: Uint32Array;
  readonly values: Float64Array;
}

/** With how much weight a program is laid over what is below, and how long it has been playing by then. */
export interface Stroke {
  weight: Level;
  millis: Millis;
  beats: Beats;
}

/** In full, at its very beginning. */
export const atOnce: Readonly<Stroke> = { weight: 1, millis: 0, beats: 0 };

/** Lays the values from place `from` up to `end` over a frame. Where `snaps` says 1 a value jumps half way; else it passes through what lies between. */
export function coverAll(
  { cells, values }: CellValues,
  from: number,
  end: number,
  frame: Frame,
  { weight }: Readonly<Stroke>,
  snaps: Uint8Array,
): void {
  for (let i = from; i < end; i++) cover(frame, cells[i] as number, values[i] as number, weight, snaps);
}

export function cover(frame: Frame, cell: number, value: number, weight: Level, snaps: Uint8Array): void {
  if (snaps[cell] === 0) frame[cell] = between(frame[cell] as number, value, weight);
  else if (weight >= 0.5) frame[cell] = value;
}

/** Exactly `value` at full weight, whatever lies below: an entry that is wholly covered leaves no trace, not even of rounding. */
export const between = (below: number, value: number, weight: Level): number =>
  weight >= 1 ? value : below + (value - below) * weight;

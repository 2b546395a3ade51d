import type { Frame } from '../core/frame.ts';
import type { Beats, Level, Millis } from '../core/units.ts';
import type { Rig } from '../rig/rig.ts';

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
  /** Of what tells of a light the place, in these arrays, of the level that is asked of it; -1 where none is, and for all else. */
  readonly levels: Int32Array;
}

/** With how much weight a program is laid over what is below, and how long it has been playing by then. */
export interface Stroke {
  weight: Level;
  millis: Millis;
  beats: Beats;
  /** The frame as it is below. What is laid in full does not look at it. */
  readonly below: Float64Array;
}

/** In full, at its very beginning. */
export const atOnce: Readonly<Stroke> = { weight: 1, millis: 0, beats: 0, below: new Float64Array() };

/** What of a rig drawing goes by. */
export type Cells = Pick<Rig, 'snaps' | 'dimmerOf'>;

/** Lays values over a frame. */
export function coverAll({ cells, values, levels }: CellValues, frame: Frame, stroke: Readonly<Stroke>, rig: Cells): void {
  const { weight } = stroke;
  for (let i = 0; i < cells.length; i++) {
    const cell = cells[i] as number;
    cover(frame, cell, values[i] as number, shareOf(frame, cell, weight, levelAt(levels[i] as number, values), stroke, rig), rig);
  }
}

/** Where values snap, one jumps half way; else it passes through what lies between. */
export function cover(frame: Frame, cell: number, value: number, weight: Level, { snaps }: Cells): void {
  if (snaps[cell] === 0) frame[cell] = between(frame[cell] as number, value, weight);
  else if (weight >= 0.5) frame[cell] = value;
}

/** The level that a program asks for, out of its values; not a number where it asks for none. */
export const levelAt = (place: number, values: Float64Array): Level => (place < 0 ? Number.NaN : (values[place] as number));

/**
 * How far a value goes over what is below. What tells of a light goes by its share of the light, whose level is laid by now: what fades in
 * from the dark, or out into it, has its own colour all the way.
 * @param level asked of the same light; not a number: as below
 */
export function shareOf(
  frame: Frame,
  cell: number,
  weight: Level,
  level: Level,
  stroke: Readonly<Stroke>,
  { dimmerOf }: Cells,
): Level {
  const dimmer = dimmerOf[cell] as number;
  if (dimmer < 0 || weight >= 1) return weight;
  const light = frame[dimmer] as number;
  return light > 0 ? Math.min(1, (weight * levelOr(level, dimmer, stroke)) / light) : weight;
}

/** A level that is asked for, or where none is the one below. */
export const levelOr = (level: Level, dimmer: number, { below }: Readonly<Stroke>): Level =>
  Number.isNaN(level) ? (below[dimmer] ?? 0) : level;

/** Exactly `value` at full weight, whatever lies below: an entry that is wholly covered leaves no trace, not even of rounding. */
export const between = (below: number, value: number, weight: Level): number =>
  weight >= 1 ? value : below + (value - below) * weight;

import { attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Beats, Level, Millis } from '../core/units.ts';
import type { Rig } from '../rig/rig.ts';

/** How long an entry has been playing when a frame is drawn. */
export interface Elapsed {
  millis: Millis;
  beats: Beats;
}

/** An item of the show made ready to play. Programs hold no state: the same elapsed time draws the same thing. */
export interface Program {
  /** Cells that it hides wholly at full weight. */
  readonly covers: ReadonlySet<number>;
  /** Every cell that it may touch. */
  readonly touches: ReadonlySet<number>;
  /** Draws itself over what lies below, with its weight. */
  draw(frame: Frame, weight: Level, elapsed: Elapsed): void;
}

/** For every cell whether its value jumps half way instead of passing through what lies between. */
export const snapCells = (rig: Rig): Uint8Array =>
  Uint8Array.from(rig.attributeOf, (name) => (attribute(name).change === 'snap' ? 1 : 0));

/** Lays `value` over a cell with a weight. */
export function cover(frame: Frame, cell: number, value: number, weight: Level, snaps: Uint8Array): void {
  if (snaps[cell] === 1) {
    if (weight >= 0.5) frame[cell] = value;
    return;
  }
  frame[cell] = between(frame[cell] as number, value, weight);
}

/** Exactly `value` at full weight, whatever lies below: an entry that is wholly covered leaves no trace, not even of rounding. */
export const between = (below: number, value: number, weight: Level): number =>
  weight >= 1 ? value : below + (value - below) * weight;

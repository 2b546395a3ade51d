import type { Frame } from '../core/frame.ts';
import type { Kept } from '../core/kept.ts';
import type { Level, Millis } from '../core/units.ts';
import type { Rig } from '../rig/rig.ts';
import type { Show } from '../show/document.ts';

/** What a guard may know of an instant besides the frame. */
export interface Instant {
  now: Millis;
  blackout: boolean;
  /** The fallback has come and nobody has resumed. */
  fallen: boolean;
  /** What plays was left to the node: nobody looks on. */
  left: boolean;
  /** Somebody has said for this night that the venue permits haze. */
  haze: boolean;
  /** Lasers are armed for this run. */
  lasers: boolean;
  /** People work at the lights. */
  crew: boolean;
  /** A fresh start: heads go dark to where they belong. */
  homing: boolean;
  /** Level of the master of all. */
  all: Level;
  /** Level of a group's master; 1 where nobody set one. */
  group(id: string): Level;
  /** Most flashes in any second, of a lamp, a use or all together: three unless an operator has raised it. */
  flashes: number;
}

/**
 * A rule that every frame passes before it reaches a wire. It changes the frame in place and never makes anything brighter, faster or
 * longer than it was, or than it has been in the last second. The same shape for each, so that one suite proves the common promises of
 * all of them.
 */
export interface Guard<Memory = unknown> {
  readonly name: string;
  /**
   * What it remembers from frame to frame: plain data (objects, arrays, typed arrays), so that it can be cloned, handed to another thread
   * and kept over a restart. `before` is what the same guard remembered of another rig: what holds for lamps that are in both is taken
   * over. Of what it knows nothing it thinks carefully.
   */
  memory(before?: Memory): Memory;
  /** @returns whether it changed any cell. */
  step(frame: Frame, instant: Instant, memory: Memory): boolean;
  /** What of its memory a restart must not forgive. */
  kept?(memory: Memory): Kept;
  /** Takes that over, of the run before, into a memory that nothing has been done with yet. */
  recall?(memory: Memory, kept: Kept): void;
  /** Of which fixtures it would have a person know without holding them, and under which name that is told. */
  readonly warns?: { readonly name: string; of(memory: Memory): Iterable<number> };
  /** Which fixtures it held in its last step, by their places in the patch; absent: it speaks of none. */
  held?(memory: Memory): Iterable<number>;
}

/** A guard that has changed frames, and the fixtures that it held, by their places in the patch, ascending. */
export interface Held {
  readonly guard: string;
  readonly places: readonly number[];
}

/** What a guard may know of the show besides its lamps. */
export interface Grouped extends Pick<Show, 'landmarks' | 'mayRest'> {
  readonly groups: readonly Pick<Show['groups'][number], 'id' | 'fixtures'>[];
}

export type BuildGuard<Memory = unknown> = (show: Grouped, rig: Rig) => Guard<Memory>;

/** The memory of a guard that judges every frame by itself. */
export const noMemory = (): undefined => undefined;

/** Puts `value` into a cell. @returns whether that changed it. */
export function force(frame: Frame, cell: number, value: number): boolean {
  if (frame[cell] === value) return false;
  frame[cell] = value;
  return true;
}

import type { Frame } from '../core/frame.ts';
import type { Level, Millis } from '../core/units.ts';
import type { Rig } from '../rig/rig.ts';
import type { Show } from '../show/document.ts';

/** What a guard may know of an instant besides the frame. */
export interface Instant {
  now: Millis;
  blackout: boolean;
  /** The fallback has come and nobody has resumed. */
  fallen: boolean;
  /** Level of the master of all. */
  all: Level;
  /** Level of a group's master; 1 where nobody set one. */
  group(id: string): Level;
}

/**
 * A rule that every frame passes before it reaches a wire. It changes the frame in place and never makes anything brighter, faster or
 * longer. The same shape for each, so that one suite proves the common promises of all of them.
 */
export interface Guard {
  readonly name: string;
  apply(frame: Frame, instant: Instant): void;
}

/** What a guard may know of the show besides its lamps. */
export type Grouped = Pick<Show, 'groups'>;

export type BuildGuard = (show: Grouped, rig: Rig) => Guard;

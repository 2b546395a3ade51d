import type { Millis } from '../core/units.ts';

/** `undo` takes an edit back; `redo` takes an undo back. */
export type Why = 'edit' | 'undo' | 'redo';

/** A revision in the history of a show. */
export interface HistoryRow {
  readonly revision: number;
  /** By the wall, epoch milliseconds. */
  readonly at: Millis;
  /** Who made it, or how it came. */
  readonly who: string;
  /** In plain words: `colour of Dinner`; empty where a document came as a whole. */
  readonly what: string;
  readonly why: Why;
}

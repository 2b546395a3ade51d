import type { Millis } from '../core/units.ts';

/** A show on the shelf or in the bin. */
export interface ShelfRow {
  readonly id: string;
  readonly name: string;
  readonly demo: boolean;
  /** It has no lights yet. */
  readonly isEmpty: boolean;
  /** Its newest revision: when (epoch milliseconds), by whom, and what in words; empty where a document came as a whole. */
  readonly at: Millis;
  readonly who: string;
  readonly what: string;
  /** Since when it is in the bin, and who has put it there. */
  readonly binned?: { readonly at: Millis; readonly who: string };
  /** Why it cannot be read. */
  readonly trouble?: string;
}

/** A show of those that come with the program. */
export interface DemoRow {
  readonly file: string;
  readonly name: string;
  readonly notes: string;
}

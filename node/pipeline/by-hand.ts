import type { Universe } from '../core/units.ts';

/** What somebody drives by hand, over whatever plays and under the guards. */
export interface ByHand {
  readonly slots: readonly DrivenSlot[];
  /** A fixture that is lit up in open white, to find it in the room. */
  readonly identify?: string;
}

/** A slot, from 1, that somebody drives to a value, 0..255. */
export interface DrivenSlot {
  readonly universe: Universe;
  readonly slot: number;
  readonly value: number;
}

export const NOTHING_BY_HAND: ByHand = { slots: [] };

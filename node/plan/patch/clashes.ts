import { SLOTS } from '../../core/levels.ts';
import type { Universe } from '../../core/units.ts';
import type { Place } from './addresses.ts';

export interface Standing extends Place {
  readonly id: string;
  readonly size: number;
}

/** What is wrong with a patch: two lamps that share slots, or one that runs off the end of its universe. */
export type Clash =
  | {
      readonly kind: 'overlap';
      readonly ids: readonly [string, string];
      readonly universe: Universe;
      /** First and last slot that both want. */
      readonly from: number;
      readonly to: number;
    }
  | { readonly kind: 'overflow'; readonly id: string; readonly universe: Universe; readonly last: number };

/** Every clash of a patch, by universe and slot: each pair that overlaps once, whatever lies between. */
export function clashesOf(lamps: readonly Standing[]): Clash[] {
  const sorted = [...lamps].sort((a, b) => a.universe - b.universe || a.address - b.address);
  const clashes: Clash[] = [];
  for (const [i, lamp] of sorted.entries()) {
    const { universe } = lamp;
    const last = lamp.address + lamp.size - 1;
    if (last > SLOTS) clashes.push({ kind: 'overflow', id: lamp.id, universe, last });
    for (let k = i + 1; k < sorted.length; k++) {
      const other = sorted[k] as Standing;
      if (other.universe !== universe || other.address > last) break;
      const to = Math.min(last, other.address + other.size - 1);
      clashes.push({ kind: 'overlap', ids: [lamp.id, other.id], universe, from: other.address, to });
    }
  }
  return clashes;
}

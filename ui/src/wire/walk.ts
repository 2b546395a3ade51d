import type { FixtureSummary } from '../../../node/api/contract.ts';
import { byAddress } from '../parts/address.ts';

/** A walk from fixture to fixture, in the order of the patch. */
export interface Walk {
  readonly order: readonly string[];
  /** Place in `order`; its length when the walk is over. */
  readonly at: number;
  /** Those that did not do what they should. */
  readonly noted: readonly string[];
}

export const walkThrough = (fixtures: readonly FixtureSummary[]): Walk => ({
  order: [...fixtures].sort(byAddress).map(({ id }) => id),
  at: 0,
  noted: [],
});

export const current = ({ order, at }: Walk): string | undefined => order[at];
export const isOver = ({ order, at }: Walk): boolean => at >= order.length;
export const next = (walk: Walk): Walk => ({ ...walk, at: Math.min(walk.order.length, walk.at + 1) });
export const back = (walk: Walk): Walk => ({ ...walk, at: Math.max(0, walk.at - 1) });

/** Marks the fixture where the walk stands, or takes the mark off again. */
export function note(walk: Walk): Walk {
  const here = current(walk);
  if (here === undefined) return walk;
  const noted = walk.noted.includes(here) ? walk.noted.filter((id) => id !== here) : [...walk.noted, here];
  return { ...walk, noted };
}

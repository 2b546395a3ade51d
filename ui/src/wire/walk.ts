import type { FixtureSummary } from '../../../node/api/contract.ts';
import { byAddress } from '../parts/address.ts';

/** A walk from fixture to fixture, in the order of the patch. */
export interface Walk {
  readonly order: readonly string[];
  /** Place in `order`; its length when the walk is over. */
  readonly at: number;
  /** Those that nobody saw light up. */
  readonly unseen: readonly string[];
}

export const walkThrough = (fixtures: readonly FixtureSummary[]): Walk => ({
  order: [...fixtures].sort(byAddress).map(({ id }) => id),
  at: 0,
  unseen: [],
});

export const current = ({ order, at }: Walk): string | undefined => order[at];
export const isOver = ({ order, at }: Walk): boolean => at >= order.length;
const next = (walk: Walk): Walk => ({ ...walk, at: Math.min(walk.order.length, walk.at + 1) });
export const back = (walk: Walk): Walk => ({ ...walk, at: Math.max(0, walk.at - 1) });

/** Somebody has looked at the fixture where the walk stands, and it goes on. Who has not seen it light up has it on the list. */
export function answered(walk: Walk, saw: boolean): Walk {
  const here = current(walk);
  if (here === undefined) return walk;
  const others = walk.unseen.filter((id) => id !== here);
  return next({ ...walk, unseen: saw ? others : [...others, here] });
}

/** Stands at another fixture. */
export const jump = (walk: Walk, to: string): Walk => ({ ...walk, at: Math.max(0, walk.order.indexOf(to)) });

import type { FixtureSummary } from '../../../node/api/contract.ts';
import { lastSlot } from '../parts/address.ts';
import type { WireLevels } from './levels.ts';

/** How long a change counts as one of now, in milliseconds. */
export const LATELY = 3000;

/** Ids of the fixtures of which any slot has changed lately. */
export function changedLately(fixtures: readonly FixtureSummary[], levels: WireLevels, now: number): ReadonlySet<string> {
  const changed = fixtures.filter((one) => levels.changedSince(one.universe, one.address, lastSlot(one), now - LATELY));
  return new Set(changed.map(({ id }) => id));
}

export const sameSet = (a: ReadonlySet<string>, b: ReadonlySet<string>): boolean =>
  a.size === b.size && [...a].every((one) => b.has(one));

import type { FixtureSummary } from '../../../node/api/contract.ts';
import { type Address, holds, readAddress, standings } from '../parts/address.ts';

export interface Search {
  readonly fixtures: readonly FixtureSummary[];
  /** The slot that was asked for, when it was one. */
  readonly slot?: Address;
}

/** Accents and capitals do not count: who types in the dark leaves them out. */
const plain = (text: string): string => text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();

const universeOnly = /^(?:universe|uni|u)?\s*(\d{1,5})\s*\.?$/;

/** Fixtures whose name or use has every word, whose universe was named, or that hold the slot that was named. */
export function search(fixtures: readonly FixtureSummary[], text: string): Search {
  const asked = plain(text.trim());
  if (asked === '') return { fixtures };
  const slot = readAddress(asked);
  if (slot !== undefined) return { fixtures: fixtures.filter((fixture) => holds(fixture, slot)), slot };
  const universe = Number(universeOnly.exec(asked)?.[1] ?? Number.NaN);
  const words = asked.split(/\s+/);
  return {
    fixtures: fixtures.filter((fixture) => {
      if (standings(fixture).some((one) => one.universe === universe)) return true;
      const said = plain(`${fixture.name} ${fixture.use}`);
      return words.every((word) => said.includes(word));
    }),
  };
}

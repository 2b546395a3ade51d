import type { FixtureSummary } from '../../../node/api/contract.ts';
import { SLOTS } from '../../../node/core/levels.ts';

/** A slot of a universe, both from 1. Written `2.17`: universe, then slot. */
export interface Address {
  readonly universe: number;
  readonly slot: number;
}

export const written = ({ universe, slot }: Address): string => `${universe}.${slot}`;

/** Reads `2.17`, `2/17` or `2:17`; undefined where it is none. */
export function readAddress(text: string): Address | undefined {
  const found = /^\s*(\d{1,5})\s*[./:]\s*(\d{1,3})\s*$/.exec(text);
  if (found === null) return undefined;
  const universe = Number(found[1]);
  const slot = Number(found[2]);
  return universe >= 1 && slot >= 1 && slot <= SLOTS ? { universe, slot } : undefined;
}

/** A fixture at each of its start addresses, as one that has only that. */
export const standings = (fixture: FixtureSummary): readonly FixtureSummary[] => [
  fixture,
  ...(fixture.further ?? []).map((start, i) => ({ ...fixture, ...start, name: `${fixture.name}, address ${i + 2}` })),
];

/** Its start addresses, written. */
export const addressesOf = (fixture: FixtureSummary): string =>
  standings(fixture)
    .map(({ universe, address }) => written({ universe, slot: address }))
    .join(', ');

/** Last slot that a fixture answers to from its first address on. Slots that its mode leaves out in between are its own all the same. */
export const lastSlot = ({ address, channels }: FixtureSummary): number =>
  channels.reduce((last, { slot }) => Math.max(last, slot), address);

export const holds = (fixture: FixtureSummary, { universe, slot }: Address): boolean =>
  standings(fixture).some((one) => one.universe === universe && slot >= one.address && slot <= lastSlot(one));

/** In the order in which the wire carries them. */
export const byAddress = (a: FixtureSummary, b: FixtureSummary): number => a.universe - b.universe || a.address - b.address;

/** Whether an eye can tell that it is on: a hazer is found by ear. */
export const givesLight = ({ channels }: FixtureSummary): boolean =>
  channels.some(({ attribute }) => attribute === 'Dimmer' || attribute.startsWith('ColorAdd_'));

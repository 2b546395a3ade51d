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

/** Last slot that a fixture answers to. Slots that its mode leaves out in between are its own all the same. */
export const lastSlot = ({ address, channels }: FixtureSummary): number =>
  channels.reduce((last, { slot }) => Math.max(last, slot), address);

export const holds = (fixture: FixtureSummary, { universe, slot }: Address): boolean =>
  fixture.universe === universe && slot >= fixture.address && slot <= lastSlot(fixture);

/** In the order in which the wire carries them. */
export const byAddress = (a: FixtureSummary, b: FixtureSummary): number => a.universe - b.universe || a.address - b.address;

/** Whether an eye can tell that it is on: a hazer is found by ear. */
export const givesLight = ({ channels }: FixtureSummary): boolean =>
  channels.some(({ attribute }) => attribute === 'Dimmer' || attribute.startsWith('ColorAdd_'));

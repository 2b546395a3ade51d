import type { FromRemote } from '../../../node/api/contract.ts';
import { MOST_BY_HAND } from '../../../node/core/remote.ts';
import { counted } from '../../../node/core/words.ts';
import { type Address, written } from '../parts/address.ts';

type Wish = Omit<Extract<FromRemote, { type: 'by-hand' }>, 'type' | 'id'>;

/** What this page drives by hand: slots to a value, and one fixture that is lit up. */
export interface Hand {
  /** By {@link written} address, in the order in which they were taken. */
  readonly slots: ReadonlyMap<string, Address & { readonly value: number }>;
  readonly identify: string | undefined;
}

export const nothing: Hand = { slots: new Map(), identify: undefined };

export const isIdle = ({ slots, identify }: Hand): boolean => slots.size === 0 && identify === undefined;
export const isFull = ({ slots }: Hand): boolean => slots.size >= MOST_BY_HAND;

export const driven = ({ slots }: Hand, address: Address): number | undefined => slots.get(written(address))?.value;

/** Puts a slot to a value, 0..255. Where no more slots may be taken, nothing changes. */
export function drive(hand: Hand, { universe, slot }: Address, value: number): Hand {
  const key = written({ universe, slot });
  if (!hand.slots.has(key) && isFull(hand)) return hand;
  const whole = Math.min(255, Math.max(0, Math.round(value)));
  return { ...hand, slots: new Map(hand.slots).set(key, { universe, slot, value: whole }) };
}

export function letGo(hand: Hand, address: Address): Hand {
  const slots = new Map(hand.slots);
  slots.delete(written(address));
  return { ...hand, slots };
}

export const light = (hand: Hand, identify: string | undefined): Hand => ({ ...hand, identify });

/** All of it in one message, so that what the node drives is what this page shows, whatever it drove before. */
export const wishOf = ({ slots, identify }: Hand): Wish => ({
  ...(slots.size === 0 ? {} : { slots: [...slots.values()] }),
  ...(identify === undefined ? {} : { identify }),
});

/** What is driven, in plain words: `2 slots by hand, North wall 1 lit up`. */
export function handWords({ slots, identify }: Hand, nameOf: (id: string) => string): string {
  const parts = [];
  if (slots.size > 0) parts.push(`${counted(slots.size, 'slot')} by hand`);
  if (identify !== undefined) parts.push(`${nameOf(identify)} lit up`);
  return parts.join(', ');
}

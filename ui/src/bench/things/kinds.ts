import type { Button, ItemKind, ItemRef, Show } from '../../../../node/show/document.ts';
import { addressOf } from '../../route.ts';

/** Kinds of things that a page of the bench lists. */
export type ThingKind = ItemKind | 'button' | 'moment' | 'landmark';

export interface Listed {
  readonly id: string;
  readonly order?: string | undefined;
  readonly name: string;
}

/** The page of a kind, and what a thing is called in its address. */
export const places: Readonly<Record<ThingKind, (id: string) => readonly string[]>> = {
  look: (id) => ['looks', id],
  chase: (id) => ['chases', id],
  movement: (id) => ['movements', id],
  hit: (id) => ['hits', id],
  button: (id) => ['evening', `button:${id}`],
  moment: (id) => ['evening', `moment:${id}`],
  landmark: (id) => ['places', id],
};
export const addressOfThing = (kind: ThingKind, id: string): string => addressOf('bench', ...places[kind](id));
export function openThing(kind: ThingKind, id: string): void {
  location.hash = addressOfThing(kind, id);
}

/** The button by which a thing is started: one that starts nothing else before one that starts more. */
export function buttonFor(show: Show, ref: ItemRef): Button | undefined {
  const same = (one: ItemRef): boolean => JSON.stringify(one) === JSON.stringify(ref);
  const all = show.buttons.filter(({ starts }) => starts.some(same));
  return all.find(({ starts }) => starts.length === 1) ?? all[0];
}

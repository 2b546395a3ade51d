import { effect, signal } from '@preact/signals';
import type { Show } from '../../../../node/show/document.ts';
import { addressOf } from '../../route.ts';
import { stepped } from '../edits.ts';
import type { Light } from './making.ts';

/** Places of this page, in the address. */
export const lightsAt = (...parts: readonly string[]): string => addressOf('bench', 'lights', ...parts);

export function goTo(...parts: readonly string[]): void {
  location.hash = lightsAt(...parts);
}

/** Ids of the lights that are chosen; of some of them there may be no light any more. */
export const chosen = signal<ReadonlySet<string>>(new Set());
/** What was done last, in a sentence, where the page that it was done on has gone. */
export const said = signal<string | undefined>(undefined);
effect(() => {
  stepped.value;
  said.value = undefined;
});

export const chosenOf = ({ fixtures }: Pick<Show, 'fixtures'>): readonly Light[] =>
  fixtures.filter(({ id }) => chosen.value.has(id));

export function choose(ids: readonly string[], on = true): void {
  const next = new Set(chosen.peek());
  for (const id of ids)
    if (on) next.add(id);
    else next.delete(id);
  chosen.value = next;
  said.value = undefined;
}

export const chooseOnly = (ids: readonly string[]): void => {
  chosen.value = new Set(ids);
};

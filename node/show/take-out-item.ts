import { listed } from '../core/words.ts';
import type { AskedChange } from './change.ts';
import { type Button, type ItemKind, type ItemRef, itemKey, type Show } from './document.ts';
import { listOf, topOf } from './things.ts';

/** A thing taken out with every mention of it: one edit, that is taken back as one. */
export interface TakingOut {
  readonly changes: readonly AskedChange[];
  /** What else is changed by it, each as a clause: `the button Dinner loses it`. Empty: nothing else speaks of it. */
  readonly also: readonly string[];
}

const NOTHING: TakingOut = { changes: [], also: [] };
const joined = (all: readonly TakingOut[]): TakingOut => ({
  changes: all.flatMap(({ changes }) => changes),
  also: all.flatMap(({ also }) => also),
});

/**
 * Takes out a look, chase, movement or hit, and the mentions of it: in what buttons and moments start and stop, in what the show starts with,
 * in its fallback. A button that would be left with nothing to start goes with it.
 */
export function takeOutItem(show: Show, kind: ItemKind, id: string): TakingOut {
  const was = listOf(show, kind).find((one) => one.id === id);
  if (was === undefined) return NOTHING;
  const key = `${kind}:${id}`;
  const others = (refs: readonly ItemRef[]): ItemRef[] => refs.filter((ref) => itemKey(ref) !== key);
  const goes = ({ starts }: Button): boolean => starts.length > 0 && others(starts).length === 0;
  const buttons = show.buttons.filter(goes);
  const of = (kindOf: 'button' | 'moment', one: Show['buttons'][number] | Show['moments'][number]): TakingOut => {
    const changes = (['starts', 'stops'] as const).flatMap((field): AskedChange[] => {
      const now = others(one[field]);
      return now.length === one[field].length ? [] : [{ do: 'set', kind: kindOf, id: one.id, field, was: one[field], now: now }];
    });
    return { changes, also: changes.length === 0 ? [] : [`the ${kindOf} ${one.name} does without it`] };
  };
  const start = others(show.start);
  const top = topOf(show);
  const falls = show.fallback !== 'blackout' && itemKey(show.fallback) === key;
  // What was asked for comes first: the history tells changes in their order.
  return joined([
    { changes: [{ do: 'drop', kind, id, was }], also: [] },
    ...show.buttons.filter((one) => !goes(one)).map((one) => of('button', one)),
    ...show.moments.map((one) => of('moment', one)),
    withoutButtons(show, buttons, (names) => `${names}, with nothing else to start, ${buttons.length === 1 ? 'goes' : 'go'} too`),
    start.length === show.start.length
      ? NOTHING
      : {
          changes: [{ do: 'set', kind: 'show', id: top.id, field: 'start', was: show.start, now: start }],
          also: ['the show starts without it'],
        },
    falls
      ? {
          changes: [{ do: 'set', kind: 'show', id: top.id, field: 'fallback', was: show.fallback, now: 'blackout' }],
          also: ['without a phone the room goes dark instead of coming to it'],
        }
      : NOTHING,
  ]);
}

/** Takes out a button, and takes it out of the moments that it is in. */
export function takeOutButton(show: Show, id: string): TakingOut {
  const was = show.buttons.find((one) => one.id === id);
  return was === undefined ? NOTHING : withoutButtons(show, [was], undefined);
}

/** Takes out a moment; its buttons stay. */
export function takeOutMoment(show: Show, id: string): TakingOut {
  const was = show.moments.find((one) => one.id === id);
  return was === undefined ? NOTHING : { changes: [{ do: 'drop', kind: 'moment', id, was }], also: [] };
}

/** @param say that they go, by their names; undefined: whoever asks has named them */
function withoutButtons(show: Show, gone: readonly Button[], say: ((names: string) => string) | undefined): TakingOut {
  if (gone.length === 0) return NOTHING;
  const isGone = (id: string): boolean => gone.some((one) => one.id === id);
  const moments = show.moments.filter(({ buttons }) => buttons.some(isGone));
  const names = `the ${gone.length === 1 ? 'button' : 'buttons'} ${listed(gone.map(({ name }) => name))}`;
  return {
    changes: [
      ...gone.map((was): AskedChange => ({ do: 'drop', kind: 'button', id: was.id, was })),
      ...moments.map(
        ({ id, buttons }): AskedChange => ({
          do: 'set',
          kind: 'moment',
          id,
          field: 'buttons',
          was: buttons,
          now: buttons.filter((one) => !isGone(one)),
        }),
      ),
    ],
    also: [
      ...(say === undefined ? [] : [say(names)]),
      ...moments.map(({ name }) => `the moment ${name} loses ${gone.length === 1 ? 'a button' : 'buttons'}`),
    ],
  };
}

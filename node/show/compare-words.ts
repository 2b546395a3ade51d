import { counted, listed } from '../core/words.ts';
import type { Change } from './change.ts';
import { changesBetween } from './compare.ts';
import type { Show } from './document.ts';
import { fieldsInWords, kindWords, nameIn } from './edit-words.ts';
import { type Kind, type ListKind, listKinds, listOf } from './things.ts';

/** Of many things so many are called by their names. */
const MOST_NAMED = 6;

/** What has become of a thing since then; what is not here is as it was. */
export interface Since {
  readonly kind: Kind;
  readonly id: string;
  readonly what: 'came' | 'went' | 'changed';
  /** `colour and fade` of what has changed. */
  readonly fields: string;
}

/** What has become of each thing of a show since an earlier state of it. */
export function sinceThen(then: Show, now: Show): Since[] {
  const things = new Map<string, Change[]>();
  for (const change of changesBetween(then, now)) {
    const key = `${change.kind}:${change.id}`;
    things.set(key, [...(things.get(key) ?? []), change]);
  }
  return [...things.values()].flatMap((changes): Since[] => {
    const [first] = changes;
    if (first === undefined) return [];
    const { kind, id, do: how } = first;
    return [{ kind, id, what: how === 'add' ? 'came' : how === 'drop' ? 'went' : 'changed', fields: fieldsInWords(changes) }];
  });
}

/**
 * Two states of a show compared, a sentence for each kind of thing and what became of it: `3 looks have changed since: Dinner – colour; …`,
 * `2 lights were not there yet: Par 3 and Par 4`. None where both say the same.
 */
export function comparedInWords(then: Show, now: Show): string[] {
  const since = sinceThen(then, now);
  const of = (kind: Kind, what: Since['what']): Since[] => since.filter((one) => one.kind === kind && one.what === what);
  const show = of('show', 'changed').map(({ fields }) => `Of the show itself has changed since: ${fields}`);
  return [...listKinds.flatMap((kind) => ofKind(kind, (what) => of(kind, what), then, now)), ...show];
}

function ofKind(kind: ListKind, of: (what: Since['what']) => readonly Since[], then: Show, now: Show): string[] {
  const [changed, came, went] = [of('changed'), of('came'), of('went')];
  const names = (things: readonly Since[], show: Show): string =>
    listed(fewOf(things.map(({ id }) => nameIn(thingOf(show, kind, id)))));
  const has = (count: number): string => `${counted(count, kindWords[kind])} ${count === 1 ? 'has' : 'have'}`;
  const told = changed.map(({ id, fields }) => {
    const [before, after] = [then, now].map((show) => nameIn(thingOf(show, kind, id)));
    return `${after}${before === after ? '' : `, then called ${before}`} – ${fields}`;
  });
  return [
    ...(changed.length === 0 ? [] : [`${has(changed.length)} changed since: ${fewOf(told).join('; ')}`]),
    ...(came.length === 0
      ? []
      : [`${counted(came.length, kindWords[kind])} ${came.length === 1 ? 'was' : 'were'} not there yet: ${names(came, now)}`]),
    ...(went.length === 0 ? [] : [`${has(went.length)} been taken out since: ${names(went, then)}`]),
  ];
}

const thingOf = (show: Show, kind: ListKind, id: string): { readonly id: string; readonly name?: unknown } =>
  (listOf(show, kind) as readonly { readonly id: string; readonly name?: unknown }[]).find((one) => one.id === id) ?? { id };

const fewOf = (words: readonly string[]): string[] =>
  words.length <= MOST_NAMED ? [...words] : [...words.slice(0, MOST_NAMED - 1), `${words.length - MOST_NAMED + 1} more`];

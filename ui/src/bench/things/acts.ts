import { signal } from '@preact/signals';
import { listed } from '../../../../node/core/words.ts';
import type { AskedChange } from '../../../../node/show/change.ts';
import type { Show } from '../../../../node/show/document.ts';
import { takingOut } from '../../../../node/show/take-out.ts';
import { type ListKind, listOf } from '../../../../node/show/things.ts';
import { change, idAfter } from '../edits.ts';
import { clausesOf } from '../mentions.ts';
import { type Listed, openThing, type ThingKind } from './kinds.ts';

/** What was taken out last, and what else that changed. */
export const told = signal('');

export function forgetTold(): void {
  told.value = '';
}

/** So many of them are called by their names. */
const MOST_NAMED = 3;

/** Takes things out with every mention of them, as one change, and says what that changed. @param all what they are called together */
export async function takeOut(show: Show, kind: ThingKind, things: readonly Listed[], all = 'things'): Promise<boolean> {
  const { changes, mentions } = takingOut(
    show,
    things.map(({ id }) => ({ kind, id })),
  );
  if (things.length === 0 || !(await change(...changes))) return false;
  const also = clausesOf(mentions);
  const names = things.length > MOST_NAMED ? `${things.length} ${all}` : listed(things.map(({ name }) => name));
  const [are, them] = things.length === 1 ? ['is', 'it'] : ['are', 'them'];
  told.value = `${names} ${are} taken out${also.length === 0 ? '' : `: ${listed(also)}`}. “Take back” brings ${them} back.`;
  return true;
}

/** Things like others, each under a name of its own, behind all others, as one change. @returns their ids, or none where it was refused */
export async function duplicate(show: Show, kind: ThingKind, things: readonly Listed[]): Promise<readonly string[]> {
  const taken: { id: string }[] = [...listOf(show, kind)];
  const changes = things.map(({ order: _, ...own }): AskedChange => {
    const name = `${own.name.slice(0, 70)}, another`;
    const id = idAfter(name, taken);
    taken.push({ id });
    return { do: 'add', kind, id, now: { ...own, id, name } };
  });
  return things.length > 0 && (await change(...changes)) ? changes.map(({ id }) => id) : [];
}

/** Another one like it; it is open then. */
export async function duplicateAndOpen(show: Show, kind: ThingKind, thing: Listed): Promise<void> {
  const [id] = await duplicate(show, kind, [thing]);
  if (id !== undefined) openThing(kind, id);
}

/** A new thing; it is open then. @returns its id, or nothing where it was refused */
export async function add(
  show: Show,
  kind: ThingKind,
  name: string,
  more: Readonly<Record<string, unknown>>,
): Promise<string | undefined> {
  const id = idAfter(name, listOf(show, kind));
  if (!(await change({ do: 'add', kind, id, now: { id, name, ...more } }))) return undefined;
  openThing(kind, id);
  return id;
}

/** One place up or down among its kind. */
export async function move(kind: ListKind, list: readonly Listed[], at: number, by: -1 | 1): Promise<void> {
  const one = list[at];
  const behind = by === 1 ? list[at + 1] : list[at - 2];
  if (one?.order === undefined || (by === 1 && behind === undefined) || (by === -1 && at === 0)) return;
  await change({ do: 'move', kind, id: one.id, was: one.order, after: behind?.id ?? null });
}

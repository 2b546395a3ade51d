import { signal } from '@preact/signals';
import { listed } from '../../../../node/core/words.ts';
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

/** Takes a thing out with every mention of it, and says what that changed. */
export async function takeOut(show: Show, kind: ThingKind, { id, name }: Listed): Promise<boolean> {
  const { changes, mentions } = takingOut(show, [{ kind, id }]);
  if (!(await change(...changes))) return false;
  const also = clausesOf(mentions);
  told.value = `${name} is taken out${also.length === 0 ? '' : `: ${listed(also)}`}. “Take back” brings it back.`;
  return true;
}

/** A thing like another one, under a name of its own, behind all others; it is open then. */
export async function duplicate(show: Show, kind: ThingKind, thing: Listed): Promise<void> {
  const { order: _, ...own } = thing;
  const name = `${thing.name.slice(0, 70)}, another`;
  const id = idAfter(name, listOf(show, kind));
  if (await change({ do: 'add', kind, id, now: { ...own, id, name } })) openThing(kind, id);
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

import type { Problem } from '../core/errors.ts';
import { kinds, type Show } from './document.ts';
import { type Kind, type ListKind, listOf, type ThingOf } from './things.ts';

/** What keeps a show from being played: in which thing, and where in the document. */
export interface Fault extends Problem {
  readonly kind: Kind;
  readonly id: string;
  /** Field of the thing; absent: the thing as a whole. */
  readonly field?: string;
}

/** A thing, and where in the document it stands. */
export interface Place<Thing = unknown> {
  readonly kind: Kind;
  readonly id: string;
  readonly path: string;
  readonly thing: Thing;
}

/** All things of a kind with their places. */
export function* placesOf<K extends ListKind>(show: Show, kind: K): Generator<Place<ThingOf<K>>> {
  const { path } = kinds[kind];
  for (const [i, thing] of listOf(show, kind).entries()) yield { kind, id: thing.id, path: `${path}[${i}]`, thing };
}

export const placeOfShow = (show: Show): Place<Show> => ({ kind: 'show', id: show.id, path: '', thing: show });

/** @param within the field and what lies in it, `parts[0].who`; empty for the whole thing. */
export function faultAt({ kind, id, path }: Place, within: string, message: string): Fault {
  const field = /^[^.[]*/.exec(within)?.[0] ?? '';
  const where = [path, within].filter((part) => part !== '').join('.');
  return { kind, id, ...(field === '' ? {} : { field }), path: where, message };
}

import type { Problem } from '../core/errors.ts';
import { kinds, type Show } from './document.ts';

/** Kind of a thing that a show has a list of. */
export type ListKind = keyof typeof kinds;
/** Those, and the show itself with what it says once. */
export type Kind = ListKind | 'show';
type PathOf<K extends ListKind> = (typeof kinds)[K]['path'];
type ListAt<Path> = Path extends keyof Show ? Show[Path] : Show['theme']['colours'];
export type ThingOf<K extends ListKind> = Extract<ListAt<PathOf<K>>, unknown[]>[number];

/** The list of a kind, in its order. */
export function listOf<K extends ListKind>(show: Show, kind: K): readonly ThingOf<K>[] {
  const { path } = kinds[kind];
  return path === 'theme.colours' ? show.theme.colours : show[path];
}

/** The show with another list of a kind; everything else is the same objects. */
export function withList<K extends ListKind>(show: Show, kind: K, list: readonly ThingOf<K>[]): Show {
  const { path } = kinds[kind];
  return path === 'theme.colours'
    ? { ...show, theme: { ...show.theme, colours: list as Show['theme']['colours'] } }
    : { ...show, [path]: list };
}

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

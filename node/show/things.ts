import type { z } from 'zod';
import { kinds, type ofShow, type Show } from './document.ts';

/** Kind of a thing that a show has a list of. */
export type ListKind = keyof typeof kinds;
export const listKinds = Object.keys(kinds) as [ListKind, ...ListKind[]];
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

/** The show itself as a thing. */
export function topOf(show: Show): z.output<typeof ofShow> {
  const { id, name, demo, notes, start, masters, mayRest, tempo, fallback, remoteWatch, theme } = show;
  return { id, name, demo, notes, start, masters, mayRest, tempo, fallback, remoteWatch, themeName: theme.name };
}

/** The show that says other things of itself; everything else is the same objects. */
export function withTop(show: Show, { themeName, ...top }: z.output<typeof ofShow>): Show {
  const theme = themeName === show.theme.name ? show.theme : { ...show.theme, name: themeName };
  return { ...show, ...top, theme };
}

import { counted } from '../../../node/core/words.ts';
import type { Fault } from '../../../node/show/places.ts';
import type { Kind } from '../../../node/show/things.ts';
import { addressOf } from '../route.ts';
import { Colours } from './colours.tsx';
import { History } from './history.tsx';
import { LooksPage } from './looks.tsx';
import type { Page } from './page.ts';
import { Shows } from './shows.tsx';
import { ThisShow } from './this-show.tsx';

/** The pages of the bench, in the order in which a show is made. */
export const pages = {
  colours: { name: 'Colours', holds: ({ theme }) => counted(theme.colours.length, 'colour'), Page: Colours },
  looks: { name: 'Looks', holds: ({ looks }) => counted(looks.length, 'look'), Page: LooksPage },
  show: { name: 'This show', holds: () => 'name, what it starts with, what it does alone', Page: ThisShow },
  shows: { name: 'Shows', holds: () => 'this one and all others of this node', Page: Shows },
  history: { name: 'What was changed', holds: () => 'and by whom; any of it comes back', Page: History },
} as const satisfies Readonly<Record<string, Page>>;
export type PageName = keyof typeof pages;

/** The page on which a kind of thing is changed. */
export const pageOf: Readonly<Partial<Record<Kind, PageName>>> = { themeColour: 'colours', look: 'looks', show: 'show' };

/** Where what is missing can be mended. */
export function addressOfFault({ kind, id }: Fault): string {
  const page = pageOf[kind];
  return page === undefined ? addressOf('bench') : addressOf('bench', page, id);
}

import { counted } from '../../../node/core/words.ts';
import type { Fault } from '../../../node/show/places.ts';
import type { Kind } from '../../../node/show/things.ts';
import { addressOf } from '../route.ts';
import { ChasesPage } from './chases/chases.tsx';
import { HitsPage } from './chases/hits.tsx';
import { MovementsPage } from './chases/movements.tsx';
import { Colours } from './colours/colours.tsx';
import { EveningPage } from './evening/evening.tsx';
import { HistoryPage } from './history/history.tsx';
import { LightsPage } from './lights/lights.tsx';
import { LooksPage } from './looks/looks.tsx';
import type { Page } from './page.ts';
import { PlacesPage } from './places/places.tsx';
import { Shows } from './shows/shows.tsx';
import { ThisShow } from './shows/this-show.tsx';
import { addressOfThing } from './things/kinds.ts';

/** The pages of the bench, in the order in which a show is made. */
export const pages = {
  lights: { name: 'Lights', holds: ({ fixtures }) => counted(fixtures.length, 'light'), Page: LightsPage },
  places: { name: 'Places', holds: ({ landmarks }) => `${counted(landmarks.length, 'place')} of the room`, Page: PlacesPage },
  colours: { name: 'Colours', holds: ({ theme }) => counted(theme.colours.length, 'colour'), Page: Colours },
  looks: { name: 'Looks', holds: ({ looks }) => counted(looks.length, 'look'), Page: LooksPage },
  chases: { name: 'Chases', holds: ({ chases }) => counted(chases.length, 'chase'), Page: ChasesPage },
  movements: { name: 'Movements', holds: ({ movements }) => counted(movements.length, 'movement'), Page: MovementsPage },
  hits: { name: 'Hits', holds: ({ hits }) => counted(hits.length, 'hit'), Page: HitsPage },
  evening: {
    name: 'Evening',
    holds: ({ buttons, moments }) => `${counted(buttons.length, 'button')}, ${counted(moments.length, 'moment')}`,
    Page: EveningPage,
  },
  show: { name: 'This show', holds: () => 'name, what it starts with, what it does alone', Page: ThisShow },
  shows: { name: 'Shows', holds: () => 'this one and all others of this node', Page: Shows },
  history: { name: 'What was changed', holds: () => 'and by whom; any of it comes back', Page: HistoryPage },
} as const satisfies Readonly<Record<string, Page>>;
export type PageName = keyof typeof pages;

/** The page on which a kind of thing is changed. */
export const pageOf: Readonly<Partial<Record<Kind, PageName>>> = {
  fixture: 'lights',
  group: 'lights',
  fixtureType: 'lights',
  landmark: 'places',
  themeColour: 'colours',
  look: 'looks',
  chase: 'chases',
  movement: 'movements',
  hit: 'hits',
  show: 'show',
};

/** Where on its page a kind of thing has a place of its own. */
const placeOf: Readonly<Partial<Record<Kind, string>>> = { fixture: 'light', group: 'group', fixtureType: 'type' };

/** Where what is missing can be mended. */
export function addressOfFault({ kind, id }: Fault): string {
  if (kind === 'button' || kind === 'moment') return addressOfThing(kind, id);
  const page = pageOf[kind];
  if (kind === 'show') return addressOf('bench', 'show');
  const place = placeOf[kind];
  return page === undefined ? addressOf('bench') : addressOf('bench', page, ...(place === undefined ? [] : [place]), id);
}

import type { ButtonSummary, MomentSummary, ShowSummary } from '../../../node/api/contract.ts';

/** A page of Tonight: the buttons of one moment; where a show has no moments all of them, or where they are many those of one use or of several together. */
export interface Page {
  readonly id: string;
  readonly name: string;
  /** Every button of the show, to be searched. */
  readonly isAll: boolean;
  /** The moment that it is of, by its id. */
  readonly moment?: string;
  readonly buttons: readonly ButtonSummary[];
}

/** From this many buttons on there is a page to find one by its name. */
const MANY = 10;

/** Moments in their order, then what is in none of them, then a page of all where there are many. Every button of the show is on a page. */
export function pagesOf({ buttons }: Pick<ShowSummary, 'buttons'>, moments: readonly MomentSummary[]): readonly Page[] {
  const byId = new Map(buttons.map((button) => [button.id, button]));
  const byUse = buttons.length < MANY ? [] : ofUses(buttons);
  const pages = moments.length > 0 ? ofMoments(moments, byId) : byUse;
  const placed = new Set(pages.flatMap((page) => page.buttons.map(({ id }) => id)));
  const rest = buttons.filter(({ id }) => !placed.has(id));
  return [
    ...pages,
    ...(rest.length === 0 ? [] : [{ id: 'rest', name: pages.length === 0 ? 'Buttons' : 'Any time', isAll: false, buttons: rest }]),
    ...(buttons.length < MANY ? [] : [{ id: 'all', name: 'Find a button', isAll: true, buttons }]),
  ];
}

/** Which moment of how many a page is: `3 of 9`. The page to find a button is none, and says nothing. */
export function placeOf(pages: readonly Page[], current: number): string {
  return pages[current]?.isAll === false ? `${current + 1} of ${pages.filter(({ isAll }) => !isAll).length}` : '';
}

/** Those in which there is anything to press, or with which anything begins or goes. */
const ofMoments = (moments: readonly MomentSummary[], byId: ReadonlyMap<string, ButtonSummary>): readonly Page[] =>
  moments
    .map(({ id, name, buttons, starts, stops }) => ({
      id: `moment:${id}`,
      name,
      isAll: false,
      moment: id,
      buttons: buttons.map((button) => byId.get(button)).filter((button) => button !== undefined),
      acts: starts.length > 0 || stops.length > 0,
    }))
    .flatMap(({ acts, ...page }) => (acts || page.buttons.length > 0 ? [page] : []));

/** Every button stands once: what lights more than one use lights the room. */
function ofUses(buttons: readonly ButtonSummary[]): readonly Page[] {
  const single = buttons.filter(({ uses }) => uses.length === 1);
  return [
    { id: 'room', name: 'The room', isAll: false, buttons: buttons.filter(({ uses }) => uses.length > 1) },
    ...[...new Set(single.flatMap(({ uses }) => uses))].map((use) => ({
      id: `use:${use}`,
      name: use.charAt(0).toUpperCase() + use.slice(1),
      isAll: false,
      buttons: single.filter(({ uses }) => uses.includes(use)),
    })),
  ];
}

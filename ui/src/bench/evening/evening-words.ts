import { counted, listed } from '../../../../node/core/words.ts';
import { ColourNames } from '../../../../node/light/colour-names.ts';
import {
  type ItemKind,
  type ItemRef,
  itemKinds,
  type Movement,
  type Part,
  type Show,
  type Who,
} from '../../../../node/show/document.ts';
import { listOf } from '../../../../node/show/things.ts';
import { lightsOf } from '../parts/lights.ts';
import { coloursOf, strobes } from '../parts/part-words.ts';
import { cssOf, useInWords, whoInWords } from '../written.ts';
import { clockInWords } from './time.ts';

/** Characters that the line under a button may have. */
const LONGEST = 120;
/** Uses that are told by name. */
const MOST_USES = 3;
/** Up to this level light is called low. */
const LOW = 0.4;

/** The kind and the id that a reference names. */
export function refOf(ref: ItemRef): { readonly kind: ItemKind; readonly id: string } {
  for (const kind of itemKinds) {
    const id = (ref as Partial<Record<ItemKind, string>>)[kind];
    if (id !== undefined) return { kind, id };
  }
  throw new Error('a reference names a look, a chase, a movement or a hit');
}
export const refTo = (kind: ItemKind, id: string): ItemRef => ({ [kind]: id }) as unknown as ItemRef;
export const isSameRef = (a: ItemRef, b: ItemRef): boolean => JSON.stringify(a) === JSON.stringify(b);

export function itemName(ref: ItemRef, show: Show): string {
  const { kind, id } = refOf(ref);
  return listOf(show, kind).find((one) => one.id === id)?.name ?? `${id}, which is gone`;
}

interface Does {
  readonly starts: readonly ItemRef[];
  readonly stops: readonly ItemRef[];
  readonly alone: boolean;
}

/** What pressing a button does: `Starts Dinner; lets go of Walls roll, and of whatever else plays on all uplights.` */
export function doesInWords(button: Does, show: Show): string {
  const { starts, stops, alone } = button;
  const names = (refs: readonly ItemRef[]): string => listed(refs.map((ref) => itemName(ref, show)));
  const uses = [
    ...new Set(
      lightsOf(
        starts.flatMap((ref) => whoOf(ref, show)),
        show,
      ).map(({ use }) => use),
    ),
  ];
  const lights = uses.length > MOST_USES ? 'its lights' : `the ${listed(uses.map(useInWords))}`;
  const cleared = alone && uses.length > 0 ? `whatever else plays on ${lights}` : '';
  const goes = [...(stops.length === 0 ? [] : [names(stops)]), ...(cleared === '' ? [] : [cleared])];
  const hold = starts.some((ref) => 'hit' in ref);
  const first =
    starts.length === 0 ? 'Starts nothing yet' : hold ? `Plays ${names(starts)} while it is held` : `Starts ${names(starts)}`;
  return `${first}${goes.length === 0 ? '' : `; lets go of ${listed(goes)}`}.`;
}

type Moment = Show['moments'][number];

/** What changes when a moment begins: `Begins with Dinner; lets go of Walls roll.` */
export function beginsInWords({ starts, stops, alone = false }: Omit<Does, 'alone'> & Partial<Does>, show: Show): string {
  const names = (refs: readonly ItemRef[]): string => listed(refs.map((ref) => itemName(ref, show)));
  const begins = starts.length === 0 ? [] : [`begins with ${names(starts)}`];
  const cleared = alone && starts.length > 0 ? ['whatever else plays on its lights'] : [];
  const going = [...(stops.length === 0 ? [] : [names(stops)]), ...cleared];
  const goes = going.length === 0 ? [] : [`lets go of ${listed(going)}`];
  const said = [...begins, ...goes].join('; ');
  return said === '' ? 'Nothing begins or goes with it.' : `${said.charAt(0).toUpperCase()}${said.slice(1)}.`;
}

/** A moment in one line: `9:30 PM, 3 buttons; begins with Dinner`. */
export function momentInWords(
  { at, buttons, starts, stops, alone = false }: Pick<Moment, 'at' | 'buttons' | 'starts' | 'stops' | 'alone'>,
  show: Show,
): string {
  const first = [...(at === undefined ? [] : [clockInWords(at)]), counted(buttons.length, 'button')].join(', ');
  if (starts.length === 0 && stops.length === 0) return first;
  const more = beginsInWords({ starts, stops, alone }, show);
  return `${first}; ${more.charAt(0).toLowerCase()}${more.slice(1, -1)}`;
}

function partsOf(ref: ItemRef, show: Show): readonly Part[] {
  const { kind, id } = refOf(ref);
  if (kind === 'look') return show.looks.find((one) => one.id === id)?.parts ?? [];
  if (kind === 'hit') return show.hits.find((one) => one.id === id)?.parts ?? [];
  return kind === 'chase' ? (show.chases.find((one) => one.id === id)?.steps.flatMap(({ parts }) => parts) ?? []) : [];
}

const whoOf = (ref: ItemRef, show: Show): readonly Who[] =>
  'movement' in ref
    ? (show.movements.find(({ id }) => id === ref.movement)?.who ?? [])
    : partsOf(ref, show).flatMap(({ who }) => who);

const moves: Readonly<Record<Movement['figure'], string>> = {
  circle: 'circling',
  eight: 'in figures of eight',
  sweep: 'sweeping',
  drift: 'drifting',
  'cross-over': 'crossing over',
  fan: 'fanning in and out',
};

/** What some lights do, gathered from all that a button starts. */
interface Seen {
  readonly colours: Set<string>;
  level: number | undefined;
  readonly ways: Set<string>;
}

/**
 * One line under a button, from what it starts: `Uplights champagne and sage, low; beams circling`. A proposal: what a person has written stands.
 * Lights that only go dark are left out, and so is what finds no room. Empty where it starts nothing that could be told.
 */
export function proposedLine({ starts }: Pick<Does, 'starts'>, show: Show): string {
  const seen = new Map<string, Seen>();
  const at = (who: readonly Who[]): Seen => {
    const name = shortly(who, show);
    const found = seen.get(name) ?? { colours: new Set<string>(), level: undefined, ways: new Set<string>() };
    seen.set(name, found);
    return found;
  };
  for (const ref of starts) {
    if ('movement' in ref) {
      const movement = show.movements.find(({ id }) => id === ref.movement);
      if (movement !== undefined) at(movement.who).ways.add(moves[movement.figure]);
      continue;
    }
    for (const part of partsOf(ref, show)) {
      // In a chase lights are dark between their steps.
      if (part.level === 0 || part.who.length === 0) continue;
      const one = at(part.who);
      for (const value of coloursOf(part)) one.colours.add(plainColour(value, show));
      if (part.level !== undefined) one.level = Math.max(one.level ?? 0, part.level);
      if ('chase' in ref) one.ways.add('changing');
      if (strobes(part)) one.ways.add('flashing');
      if ((part.haze ?? 0) > 0) one.ways.add('in the air');
    }
  }
  const pieces = [...seen].map(([name, one]) => {
    const colours = one.colours.size === 0 ? '' : ` ${listed([...one.colours])}`;
    const ways = [...((one.level ?? 1) <= LOW ? ['low'] : []), ...one.ways];
    const text = `${name}${colours}${ways.length === 0 ? '' : `${colours === '' ? ' ' : ', '}${ways.join(', ')}`}`;
    return { text, isTelling: text !== name };
  });
  // Lights of which there is nothing to tell but that they are lit give way to the others.
  const telling = pieces.filter(({ isTelling }) => isTelling);
  let line = '';
  for (const { text: piece } of telling.length > 0 ? telling : pieces) {
    const longer = line === '' ? piece.charAt(0).toUpperCase() + piece.slice(1) : `${line}; ${piece}`;
    if (longer.length <= LONGEST) line = longer;
  }
  return line;
}

const plain = new ColourNames([]);

/** The client's colours by their names, others by the plainest name that is true. */
function plainColour(value: string, { theme }: Show): string {
  const id = /^theme:(.*)$/.exec(value)?.[1];
  const own = theme.colours.find((one) => one.id === id);
  if (own !== undefined) return own.name.toLowerCase();
  const css = cssOf(value, theme.colours);
  return css === undefined ? value : plain.nameOf(Number.parseInt(css.slice(1), 16));
}

/** Lights in the middle of a line: `uplights`, `all lights`, `Arch`. */
const shortly = (who: readonly Who[], show: Show): string =>
  listed(
    who.map((one) => {
      if ('all' in one) return 'all lights';
      return 'use' in one ? useInWords(one.use) : whoInWords([one], show);
    }),
  );

import { listed } from '../../../node/core/words.ts';
import { itemKinds, type Part, type Show, type Who } from '../../../node/show/document.ts';
import type { Fault } from '../../../node/show/places.ts';
import { listOf } from '../../../node/show/things.ts';

const kinds = ['look', 'chase', 'movement', 'hit', 'button', 'moment'] as const;
type ItemShow = Pick<Show, 'looks' | 'chases' | 'movements' | 'hits' | 'buttons' | 'moments' | 'fixtures' | 'groups' | 'theme'>;

function showFaultInWords({ field, message }: Fault): string | undefined {
  if (field === 'masters') return `How much light the show starts with: ${message}`;
  if (field === 'start') return 'The show starts with something that is gone';
  return field === 'fallback' ? 'What comes without a phone is a look that is gone' : undefined;
}

/**
 * What keeps a look, chase, movement, hit, button or moment from being played, or the show for want of one, in plain words; undefined: it is
 * about something else.
 */
export function itemFaultInWords(fault: Fault, show: ItemShow, useInWords: (use: string) => string): string | undefined {
  const { kind, id, field = '', path, message } = fault;
  if (kind === 'show') return showFaultInWords(fault);
  const known = kinds.find((one) => one === kind);
  if (known === undefined) return undefined;
  const thing = listOf(show as Show, known).find((one) => one.id === id);
  if (thing === undefined) return undefined;
  const name = `“${thing.name}”`;
  const within = placesIn(path);
  const rig: Rig = { fixtures: show.fixtures, groups: show.groups, theme: show.theme, useInWords };
  if (message.startsWith('is too heavy')) return `${name} ${message}`;
  if (path.endsWith('.landmark')) return `${name} looks at a place that is gone: choose another`;
  if (known === 'look' || known === 'hit')
    return partFault(name, (thing as Show['looks'][number]).parts, within, 'lights nothing yet: add lights to it', rig);
  if (known === 'movement')
    return whoFault(name, (thing as Show['movements'][number]).who, within[0], 'moves nothing yet: choose its lights', rig);
  if (known === 'chase') {
    const { steps } = thing as Show['chases'][number];
    if (within.length === 0) {
      if (steps.length === 0) return `${name} has no steps yet: add two`;
      return steps.length < 2 ? `${name} needs a second step to go to` : `${name}: some steps count beats and some seconds`;
    }
    const [at = 0, ...inStep] = within;
    const told = `${name}, step ${at + 1}`;
    return partFault(told, steps[at]?.parts ?? [], inStep, 'lights nothing yet: add lights to it', rig);
  }
  if (field === 'name') return `Two buttons are called ${name}: a thumb could not tell them apart`;
  const { starts, stops } = thing as Show['buttons'][number];
  if (field === 'starts' && starts.length === 0) return `${name} starts nothing yet: choose what it starts`;
  if (field === 'buttons') return `${name} names a button that is gone: take it out`;
  const ref = (field === 'stops' ? stops : starts)[within[0] ?? 0];
  const what = itemKinds.find((one) => ref !== undefined && one in ref) ?? 'look';
  return `${name} ${field === 'stops' ? 'lets go of' : 'starts'} a ${what} that is gone: take it out`;
}

/** The places that a path goes through within the thing: `chases[2].steps[1].parts[0].who` to 1 and 0. */
const placesIn = (path: string): number[] => [...path.matchAll(/\[(\d+)\]/g)].slice(1).map(([, at]) => Number(at));

interface Rig extends Pick<Show, 'fixtures' | 'groups' | 'theme'> {
  readonly useInWords: (use: string) => string;
}

function partFault(name: string, parts: readonly Part[], [at, within]: readonly number[], empty: string, rig: Rig): string {
  if (at === undefined) return `${name} ${empty}`;
  const part = parts[at];
  const gone = part === undefined ? [] : [part.colour ?? []].flat().filter((value) => isGone(value, rig));
  const who = part === undefined ? [] : part.who;
  if (who.length > 0 && gone.length > 0 && goneOf(who, rig).length === 0)
    return `${name} names a colour that is no more in the theme (${listed(gone.map((value) => value.slice('theme:'.length)))}): choose another`;
  return whoFault(name, who, within, `has a part without lights: choose them, or take it out`, rig);
}

const isGone = (value: string, { theme }: Rig): boolean =>
  value.startsWith('theme:') && !theme.colours.some(({ id }) => `theme:${id}` === value);

/** Of those that are meant what is not there, in words. */
function goneOf(who: readonly Who[], { fixtures, groups, useInWords }: Rig): string[] {
  return who.flatMap((one) => {
    if ('fixture' in one) return fixtures.some(({ id }) => id === one.fixture) ? [] : ['a light that is gone'];
    if ('group' in one) return groups.some(({ id }) => id === one.group) ? [] : ['a group that is gone'];
    return 'use' in one && !fixtures.some(({ use }) => use === one.use) ? [`${useInWords(one.use)}, of which there are none`] : [];
  });
}

function whoFault(name: string, who: readonly Who[], at: number | undefined, empty: string, rig: Rig): string {
  if (who.length === 0) return `${name} ${empty}`;
  const named = at === undefined ? who : who.slice(at, at + 1);
  const [gone = 'lights that are gone'] = [...goneOf(named, rig), ...goneOf(who, rig)];
  return `${name} names ${gone}: choose others`;
}

import { FASTEST_TEMPO, SLOWEST_TEMPO } from '../../../node/core/limits.ts';
import { listed } from '../../../node/core/words.ts';
import { parseColour } from '../../../node/light/colour-value.ts';
import { chromaticityOf } from '../../../node/light/of-value.ts';
import { toEncoded, xyToLinear } from '../../../node/light/oklab.ts';
import { LONGEST_REST, type Show, type Who } from '../../../node/show/document.ts';
import type { Fault } from '../../../node/show/places.ts';
import { readSecondsWithin } from './amounts.ts';
import { itemFaultInWords } from './item-faults.ts';

/**
 * A colour as people write it: `#F7E7CE`, `f7e7ce`, `#fec`, `rgb(247, 231, 206)`, `247 231 206`, `2700k`, `2 700 K`, `xy 0.31 0.33`, a colour's
 * name in English as web pages have them (CSS Color 4), or as clients say it. @returns it as a document writes it; undefined: none that is known
 */
export function readColour(text: string, named: (word: string) => string | undefined): string | undefined {
  const asked = text.trim();
  const hex = /^#?([0-9a-f]{6})$/i.exec(asked)?.[1];
  if (hex !== undefined) return `#${hex.toLowerCase()}`;
  const short = /^#([0-9a-f]{3})$/i.exec(asked)?.[1];
  if (short !== undefined) return `#${[...short.toLowerCase()].map((digit) => digit + digit).join('')}`;
  const parts = /^(?:rgb *\()? *(\d{1,3})[ ,]+(\d{1,3})[ ,]+(\d{1,3}) *\)?$/i.exec(asked)?.slice(1).map(Number);
  if (parts?.every((part) => part <= 255)) return `#${parts.map((part) => part.toString(16).padStart(2, '0')).join('')}`;
  const kelvin = /^(\d{1,2})[ .,]?(\d{3}) ?k?$/i.exec(asked);
  if (kelvin !== null) return known(`${kelvin[1]}${kelvin[2]} K`);
  const word = asked.toLowerCase().replace(/\s+/g, '');
  return known(asked) ?? known(asked.replace(/,/g, '.')) ?? named(word) ?? clientsSay[word];
}

/** Colours that web pages have no name for and clients ask for: as the shows here have them, the others by eye; common practice, no source. */
const clientsSay: Readonly<Record<string, string>> = {
  champagne: '#f7e7ce',
  blush: '#e8b7a2',
  dustyrose: '#dcae96',
  rosegold: '#e0a899',
  peach: '#ffcba4',
  apricot: '#fbceb1',
  terracotta: '#e2725b',
  burgundy: '#800020',
  mauve: '#e0b0ff',
  lilac: '#c8a2c8',
  sage: '#9caf88',
  sagegreen: '#9caf88',
  mint: '#98ff98',
  emerald: '#50c878',
  dustyblue: '#8ca3c1',
  amber: '#ffbf00',
};

const known = (text: string): string | undefined =>
  parseColour(text) === undefined || text.startsWith('theme:') ? undefined : text;

/** What a colour of a show looks like on a screen, as bright as can be; undefined for what is dark or unknown. */
export function cssOf(value: string, colours: Show['theme']['colours']): string | undefined {
  const parsed = parseColour(value);
  if (parsed === undefined) return undefined;
  if (parsed.kind === 'theme') {
    const own = colours.find(({ id }) => id === parsed.id)?.value;
    return own === undefined ? undefined : cssOf(own, []);
  }
  const at = chromaticityOf(parsed, () => ({ kind: 'srgb', red: 0, green: 0, blue: 0 }));
  if (at === undefined) return undefined;
  const linear = xyToLinear(...at).map((part) => Math.max(0, part));
  const most = Math.max(...linear, 1e-9);
  return `#${linear
    .map((part) =>
      Math.round(255 * toEncoded(part / most))
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;
}

const useNames: Readonly<Record<string, string>> = {
  uplight: 'uplights',
  'dance wash': 'dance floor washes',
  'ceiling wash': 'ceiling washes',
  totem: 'totems',
  facade: 'facade lights',
  blinder: 'blinders',
  spot: 'spots',
  beam: 'beams',
  texture: 'textures',
  centrepiece: 'centrepieces',
  haze: 'haze',
  laser: 'lasers',
};

export const useInWords = (use: string): string => useNames[use] ?? use;

/** What is missing, by the name of the thing that it is missing in; where it stands in the file only where that is all there is to say. */
export const faultInWords = (fault: Fault, show: Show): string =>
  ofRig(fault, show) ?? itemFaultInWords(fault, show, useInWords) ?? `${fault.path} ${fault.message}`;

/** Of a light, a group or a type its name says where. */
function ofRig({ kind, id, message }: Fault, { fixtures, groups, fixtureTypes }: Show): string | undefined {
  const lists = { fixture: fixtures, group: groups, fixtureType: fixtureTypes } as const;
  if (kind !== 'fixture' && kind !== 'group' && kind !== 'fixtureType') return undefined;
  const name = lists[kind].find((one) => one.id === id)?.name;
  if (name === undefined) return undefined;
  // Two lights that share a slot are both named.
  return message.startsWith('"') ? message : `“${name}” ${message.replace(/\bfixtures\b/, 'lights')}`;
}

/** Names of single lights that are told one by one; of more it is told how many. */
const MOST_NAMED = 3;

/** Which lights: `All uplights`, `Arch and Par 1`, `Par 1, Par 2, Par 3 and 5 more`. */
export function whoInWords(who: readonly Who[], { groups, fixtures }: Pick<Show, 'groups' | 'fixtures'>): string {
  const whole = who.flatMap((one) => {
    if ('all' in one) return ['All lights'];
    if ('use' in one) return [`All ${useInWords(one.use)}`];
    return 'group' in one ? [groups.find(({ id }) => id === one.group)?.name ?? one.group] : [];
  });
  const single = who.flatMap((one) =>
    'fixture' in one ? [fixtures.find(({ id }) => id === one.fixture)?.name ?? one.fixture] : [],
  );
  const named = single.length > MOST_NAMED + 1 ? single.slice(0, MOST_NAMED) : single;
  const more = single.length - named.length;
  const names = [...whole, ...named, ...(more > 0 ? [`${more} more`] : [])];
  return names.length === 0 ? 'No lights yet' : listed(names);
}

/** A time in seconds as people write it: `2`, `2,5`, `1/2 s`, `1 min`; an hour at most. Undefined: none. */
export const readSeconds = (text: string): number | undefined => readSecondsWithin(text, 0, 3600);
/** A time as people write it: `1 min`, `20 s`, `1.5 min`. */
export const secondsInWords = (seconds: number): string =>
  seconds >= 60 && seconds % 30 === 0 ? `${seconds / 60} min` : `${seconds} s`;

const within = (value: number | undefined, least: number, most: number): number | undefined =>
  value === undefined || value < least || value > most ? undefined : value;

/** How long a phone may be silent, and how long the others are warned then: in seconds, within what a show may ask for. */
export const readSilence = (text: string): number | undefined => within(readSeconds(text), 5, 600);
export const readCountdown = (text: string): number | undefined => within(readSeconds(text), 5, 120);

/** How long a beam may rest where eyes may be, in seconds. */
export const readRest = (text: string): number | undefined => within(readSeconds(text), 1, LONGEST_REST);

/** Beats a minute: `120`, `97,5`, `128 bpm`, `120 beats a minute`. Undefined: none that can be asked for. */
export function readTempo(text: string): number | undefined {
  const found = /^(\d+(?:[.,]\d+)?)\s*(bpm|beats( a minute)?)?$/i.exec(text.trim());
  return found === null ? undefined : within(Number((found[1] ?? '').replace(',', '.')), SLOWEST_TEMPO, FASTEST_TEMPO);
}

/** Of a show file its name is enough: where it lies is nobody’s affair. */
export const whoseName = (who: string): string => (/[\\/]/.test(who) ? `the file ${who.split(/[\\/]/).pop()}` : who);

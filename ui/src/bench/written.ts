import { parseColour } from '../../../node/light/colour-value.ts';
import { chromaticityOf } from '../../../node/light/of-value.ts';
import { toEncoded, xyToLinear } from '../../../node/light/oklab.ts';
import type { Show, Who } from '../../../node/show/document.ts';
import type { Fault } from '../../../node/show/places.ts';

/**
 * A colour as people write it: `#F7E7CE`, `f7e7ce`, `2700k`, `2 700 K`, `xy 0.31 0.33`, or a colour's name in English as web pages have them
 * (CSS Color 4). @returns it as a document writes it; undefined: none that is known
 */
export function readColour(text: string, named: (word: string) => string | undefined): string | undefined {
  const asked = text.trim();
  const hex = /^#?([0-9a-f]{6})$/i.exec(asked)?.[1];
  if (hex !== undefined) return `#${hex.toLowerCase()}`;
  const kelvin = /^(\d{1,2})[ .,]?(\d{3}) ?k?$/i.exec(asked);
  if (kelvin !== null) return known(`${kelvin[1]}${kelvin[2]} K`);
  return known(asked) ?? known(asked.replace(/,/g, '.')) ?? named(asked.toLowerCase().replace(/\s+/g, ''));
}

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

/** What is missing, by the name of the look it is missing in; where it stands in the file only where that is all there is to say. */
export function faultInWords(fault: Fault, show: Pick<Show, 'looks'> & Partial<Rig>): string {
  const { kind, id, field, path, message } = fault;
  const { looks } = show;
  if (kind === 'show' && field === 'fixtures') return message.startsWith('has no') ? 'There are no lights yet: add some' : message;
  const own = ofRig(fault, show);
  if (own !== undefined) return own;
  const look = kind === 'look' ? looks.find((one) => one.id === id) : undefined;
  if (look === undefined) return `${path} ${message}`;
  if (field === 'parts' && look.parts.length === 0) return `“${look.name}” lights nothing yet: add lights to it`;
  return `“${look.name}”: ${path.replace(/^looks\[\d+\]\.?/, '')} ${message}`;
}

type Rig = Pick<Show, 'fixtures' | 'groups' | 'fixtureTypes'>;

/** Of a light, a group or a type its name says where. */
function ofRig({ kind, id, message }: Fault, { fixtures = [], groups = [], fixtureTypes = [] }: Partial<Rig>): string | undefined {
  const lists = { fixture: fixtures, group: groups, fixtureType: fixtureTypes } as const;
  if (kind !== 'fixture' && kind !== 'group' && kind !== 'fixtureType') return undefined;
  const name = lists[kind].find((one) => one.id === id)?.name;
  if (name === undefined) return undefined;
  // Two lights that share a slot are both named.
  return message.startsWith('"') ? message : `“${name}” ${message.replace(/\bfixtures\b/, 'lights')}`;
}

/** Which lights: “uplights and Arch”. */
export function whoInWords(who: readonly Who[], { groups, fixtures }: Show): string {
  const names = who.map((one) => {
    if ('all' in one) return 'All lights';
    if ('use' in one) return `All ${useInWords(one.use)}`;
    if ('group' in one) return groups.find(({ id }) => id === one.group)?.name ?? one.group;
    return fixtures.find(({ id }) => id === one.fixture)?.name ?? one.fixture;
  });
  return names.length === 0 ? 'No lights yet' : names.join(', ');
}

/** A time in seconds as people write it: `2`, `2,5`, `2.5 s`, `1 min`. Undefined: none. */
export function readSeconds(text: string): number | undefined {
  const found = /^(\d+(?:[.,]\d+)?)\s*(s|sec|seconds?|min|minutes?|m)?$/i.exec(text.trim());
  if (found === null) return undefined;
  const value = Number((found[1] ?? '').replace(',', '.'));
  const seconds = /^m/i.test(found[2] ?? '') ? value * 60 : value;
  return seconds <= 3600 ? seconds : undefined;
}

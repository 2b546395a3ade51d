import { labels } from '../../../../node/core/attribute-labels.ts';
import { type AttributeName, attribute, type DirectName, directNames, isEmitter } from '../../../../node/core/attributes.ts';
import type { FixtureType, Mode } from '../../../../node/rig/fixture-type.ts';
import { typesWith } from '../../../../node/rig/library.ts';
import type { Show, Who } from '../../../../node/show/document.ts';
import { lightsOf } from './lights.ts';

export type Range = readonly [least: number, most: number];
export interface Slot {
  /** From 1. */
  readonly slot: number;
  readonly name: string;
}

/** What some lights can do: of unlike lights what any of them can. */
export interface Abilities {
  /** Lights, and the lamps in them that wear a colour each: a bar of cells has several. */
  readonly lights: number;
  readonly lamps: number;
  readonly has: (name: AttributeName) => boolean;
  readonly light: boolean;
  readonly colour: boolean;
  /** In the unit of the attribute, as their types have it; undefined: they have no such thing. */
  readonly range: (name: DirectName) => Range | undefined;
  /** What is in the places of a wheel, by the names that their types give; where they differ all of them. */
  readonly slots: (name: DirectName) => readonly Slot[];
  /** What no field of its own is for. */
  readonly more: readonly DirectName[];
}

/** What a part has fields of its own for, and what is no light's ability. */
const elsewhere: readonly AttributeName[] = [
  'Dimmer',
  'Gobo1',
  'Zoom',
  'ColorAdd_UV',
  'Shutter1Strobe',
  'Haze1',
  'Fog1',
  'Fan1',
  'Pan',
  'Tilt',
  'NoFeature',
];
const mixers: readonly AttributeName[] = ['ColorSub_C', 'ColorSub_M', 'ColorSub_Y', 'Color1'];
const isColour = (name: AttributeName): boolean => isEmitter(name) || mixers.includes(name);

interface Used {
  readonly type: FixtureType;
  readonly mode: Mode;
}

export function abilitiesOf(who: readonly Who[], show: Pick<Show, 'fixtures' | 'groups' | 'fixtureTypes'>): Abilities {
  const types = typesWith(show.fixtureTypes);
  const lights = lightsOf(who, show);
  const used = lights.flatMap(({ type: id, mode: of }): Used[] => {
    const type = types.get(id);
    const mode = type?.modes.find((one) => one.id === of);
    return type === undefined || mode === undefined ? [] : [{ type, mode }];
  });
  // Lamps of a kind are many: each kind is looked at once.
  const kinds = [...new Map(used.map((one) => [one.mode, one])).values()];
  const functions = kinds.flatMap(({ mode }) => mode.channels.flatMap((channel) => channel.functions));
  const names = new Set(functions.map(({ attribute: name }) => name));
  const range = (name: DirectName): Range | undefined => {
    const own = functions.filter((one) => one.attribute === name).flatMap(({ physical }) => physical);
    if (own.length === 0) return undefined;
    const [least, most] = attribute(name).range ?? [0, 1];
    return [Math.max(least, Math.min(...own)), Math.min(most, Math.max(...own))];
  };
  return {
    lights: lights.length,
    lamps: used.reduce((sum, { mode }) => sum + lampsOf(mode), 0),
    has: (name) => names.has(name),
    light: [...names].some((name) => name === 'Dimmer' || isEmitter(name)),
    colour: [...names].some(isColour),
    range,
    slots: (name) => slotsOf(name, kinds, range(name)),
    more: directNames.filter((name) => names.has(name) && !elsewhere.includes(name)),
  };
}

/** Lamps of a mode that wear a colour of their own. */
function lampsOf({ channels }: Mode): number {
  const coloured = channels.filter(({ functions }) => functions.some(({ attribute: name }) => isColour(name)));
  return Math.max(1, new Set(coloured.map(({ part }) => part ?? 0)).size);
}

function slotsOf(name: DirectName, kinds: readonly Used[], range: Range | undefined): Slot[] {
  const names = new Map<number, Set<string>>();
  for (const { type } of kinds)
    for (const [i, { name: called }] of (type.wheels[name as keyof FixtureType['wheels']] ?? []).entries())
      names.set(i + 1, (names.get(i + 1) ?? new Set()).add(called));
  // A prism may be out.
  const out = name === 'Prism1' ? [{ slot: 0, name: 'Out' }] : [];
  const named = [...names].map(([slot, all]) => ({ slot, name: capitalised([...all].join(' or ')) }));
  if (named.length > 0) return [...out, ...named.sort((a, b) => a.slot - b.slot)];
  if (range === undefined) return [];
  // Nobody has told what is in them: 1 is open by rule.
  const [least, most] = [Math.max(0, Math.ceil(range[0])), Math.floor(range[1])];
  return Array.from({ length: Math.max(0, most - least + 1) }, (_, i) => ({
    slot: least + i,
    name: name === 'Prism1' ? (least + i === 0 ? 'Out' : `Prism ${least + i}`) : least + i === 1 ? 'Open' : `Place ${least + i}`,
  }));
}

const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const labelOf = (name: DirectName): string => labels[name];

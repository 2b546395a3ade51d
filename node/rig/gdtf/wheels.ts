import { type AttributeName, wheelNames } from '../../core/attributes.ts';
import type { FixtureTypeInput } from '../fixture-type.ts';
import { attributeOf } from './attribute.ts';
import type { RawChannel } from './channels.ts';
import { colourCalled } from './filter-names.ts';
import type { Notes } from './notes.ts';
import { type Cie, cie, hexOf } from './values.ts';
import { attr, childrenOf, type Element, find } from './xml.ts';

type WheelInput = NonNullable<NonNullable<FixtureTypeInput['wheels']>['Color1']>;

const MOST = 64;

interface FileSlot {
  readonly name: string;
  readonly colour: Cie | undefined;
  /** Of a wheel that tells of no colours what the name says. */
  readonly called: string | undefined;
  /** Facets of a prism; 0 where it is none. */
  readonly facets: number;
  readonly image: string | undefined;
}

/** A wheel of the file, as one of our attributes turns it. */
export interface Wheel {
  readonly slots: readonly FileSlot[];
  /** The place that we call a slot of the file, which counts from 1: a prism that is out is 0, and only prisms count. */
  readonly placeOf: (index: number) => number | undefined;
}

export type Wheels = ReadonlyMap<AttributeName, Wheel>;

/** The wheels that channels turn, each by the first link to one that its attribute has. */
export function wheelsOf(fixtureType: Element, channels: readonly RawChannel[], notes: Notes): Wheels {
  const inFile = new Map(
    childrenOf(find(fixtureType, 'Wheels'), 'Wheel').map((one) => [attr(one, 'Name') ?? '', childrenOf(one, 'Slot')]),
  );
  const filters = new Map(
    childrenOf(find(find(fixtureType, 'PhysicalDescriptions'), 'Filters'), 'Filter').map((one) => [
      attr(one, 'Name'),
      attr(one, 'Color'),
    ]),
  );
  const links = new Map<AttributeName, string>();
  for (const { functions } of channels)
    for (const one of functions) {
      const link = attr(one.element, 'Wheel');
      const attribute = attributeOf(one.attribute);
      if (link === undefined || !wheelNames.some((name) => name === attribute)) continue;
      const known = links.get(attribute) ?? link;
      links.set(attribute, known);
      if (known !== link) notes.add(`${attribute} turns the wheels "${known}" and "${link}"; the slots of the first are named`);
    }
  noteUnturned(inFile, new Set(links.values()), filters.keys(), notes);
  return new Map(
    wheelNames.flatMap((attribute) => {
      const link = links.get(attribute);
      const elements = (link === undefined ? undefined : inFile.get(link)) ?? [];
      if (elements.length > MOST) notes.add(`The wheel of ${attribute} has ${elements.length} slots; the first ${MOST} are taken`);
      const own =
        link === undefined && attribute.startsWith('Color')
          ? namedBySets(attribute, channels)
          : elements.slice(0, MOST).map((one, i) => slotOf(one, i, filters, notes));
      const slots = attribute.startsWith('Color') ? byTheirNames(own, attribute, notes) : own;
      return slots.length === 0 ? [] : [[attribute, { slots, placeOf: placesOf(attribute, slots) }] as const];
    }),
  );
}

/** Of a wheel that is not in the file the slots as the sets of its channel name them, by their index or else in order. */
function namedBySets(attribute: AttributeName, channels: readonly RawChannel[]): FileSlot[] {
  const named = channels
    .map(({ functions }) => functions.filter((one) => attributeOf(one.attribute) === attribute).flatMap((one) => one.sets))
    .map((sets) => sets.filter(({ name }) => name !== undefined))
    .find((sets) => sets.length > 1);
  const isTold = named?.some(({ index }) => index !== undefined) === true;
  const names = new Map<number, string>();
  for (const [i, { name, index }] of (named ?? []).entries()) {
    const place = isTold ? (index ?? 0) : i + 1;
    if (Number.isInteger(place) && place >= 1 && place <= MOST && !names.has(place))
      names.set(place, (name as string).slice(0, 80));
  }
  return Array.from({ length: Math.max(0, ...names.keys()) }, (_, i) => ({
    name: names.get(i + 1) ?? `slot ${i + 1}`,
    colour: undefined,
    called: undefined,
    facets: 0,
    image: undefined,
  }));
}

/** Filters that have no colours, or the default of table 41 all of them, are known by their names alone. */
function byTheirNames(slots: readonly FileSlot[], attribute: AttributeName, notes: Notes): readonly FileSlot[] {
  const told = new Set(slots.map(({ colour }) => (colour === undefined ? OPEN : hexOf(colour))));
  if (slots.length < 2 || told.size > 1 || !told.has(OPEN)) return slots;
  const named = slots.map((one) => ({ ...one, called: colourCalled(one.name) }));
  const known = named.filter(({ called }) => called !== undefined && called !== OPEN);
  notes.add(
    known.length === 0
      ? `The filters of ${attribute} have no colours, and their names tell of none: a look turns to one by its place only`
      : `The filters of ${attribute} have no colours; typical ones of their names are taken`,
  );
  return known.length === 0 ? slots : named;
}

/** Says which wheels no channel of ours turns, and which filters are in none that one does. */
function noteUnturned(
  wheels: ReadonlyMap<string, readonly Element[]>,
  turned: ReadonlySet<string>,
  filters: Iterable<string | undefined>,
  notes: Notes,
): void {
  const within = new Set([...turned].flatMap((name) => (wheels.get(name) ?? []).map((slot) => attr(slot, 'Filter'))));
  const unused = [
    ...[...wheels.keys()].filter((name) => !turned.has(name)).map((name) => `wheel "${name}"`),
    ...[...filters].filter((name) => !within.has(name)).map((name) => `filter "${name ?? ''}"`),
  ];
  if (unused.length > 0) notes.add(`Not used: ${unused.join(', ')}`);
}

/** A slot has a colour of its own, or that of a filter among the physical descriptions. */
function slotOf(element: Element, i: number, filters: ReadonlyMap<string | undefined, string | undefined>, notes: Notes): FileSlot {
  const link = attr(element, 'Filter');
  if (link !== undefined && !filters.has(link)) notes.add(`The filter "${link}" of a wheel is not in the file`);
  const text = (link === undefined ? undefined : filters.get(link)) ?? attr(element, 'Color');
  const colour = cie(text);
  if (colour === undefined && text !== undefined) notes.add(`"${text}" of a wheel is no colour`);
  return {
    name: (attr(element, 'Name') ?? `slot ${i + 1}`).slice(0, 80),
    colour,
    called: undefined,
    facets: childrenOf(element, 'Facet').length,
    image: attr(element, 'MediaFileName')?.slice(0, 200),
  };
}

function placesOf(attribute: AttributeName, slots: readonly FileSlot[]): Wheel['placeOf'] {
  const within = (index: number): boolean => index >= 1 && index <= slots.length;
  if (attribute !== 'Prism1') return (index) => (within(index) ? index : undefined);
  const ins = prismsOf(slots);
  return (index) => (within(index) ? ins.indexOf(slots[index - 1] as FileSlot) + 1 : undefined);
}

/** What of a wheel is a prism: by its facets; where none is described, all but what is called out, or but the first of several. */
function prismsOf(slots: readonly FileSlot[]): readonly FileSlot[] {
  if (slots.some(({ facets }) => facets > 0)) return slots.filter(({ facets }) => facets > 0);
  const named = slots.filter(({ name }) => !isOut(name));
  return named.length < slots.length || slots.length === 1 ? named : slots.slice(1);
}

/** Words for a prism that is not in. */
export const isOut = (name: string): boolean => /\b(out|open|off|no(ne)?|closed|empty)\b/i.test(name);

/** The wheels as a type of ours has them. */
export function namedWheels(wheels: Wheels): NonNullable<FixtureTypeInput['wheels']> {
  const named: NonNullable<FixtureTypeInput['wheels']> = {};
  for (const name of wheelNames) {
    const slots = wheels.get(name)?.slots ?? [];
    const own = name === 'Prism1' ? prismsOf(slots) : slots;
    const lightOf = lightsThrough(own);
    if (own.length > 0) named[name] = own.map((slot) => wheelSlotOf(slot, name, lightOf(slot)));
  }
  return named;
}

/**
 * The Y of a slot (ColorCIE, table 1) is what its filter lets through, of the Y of what is open, else of 100. A Y that is the same for every colour is one
 * that nobody has measured, and so is a colour that takes nothing away.
 */
function lightsThrough(slots: readonly FileSlot[]): (slot: FileSlot) => number | undefined {
  const known = slots.flatMap(({ colour }) => colour ?? []);
  const open = known.find((one) => hexOf(one) === OPEN);
  const filters = known.filter((one) => one !== open);
  const top = open === undefined || open.Y <= 0 ? 100 : open.Y;
  const isMeasured = filters.length === 1 || new Set(filters.map(({ Y }) => Y)).size > 1;
  return ({ colour }) => {
    if (colour === undefined || colour === open || !isMeasured) return undefined;
    const share = Math.round((colour.Y / top) * 1e4) / 1e4;
    return share > 0 && share < 1 ? share : undefined;
  };
}

/** The white that table 1 gives a colour by default. */
const OPEN = hexOf({ x: 0.3127, y: 0.329, Y: 100 });

function wheelSlotOf(
  { name, colour, called, facets, image }: FileSlot,
  of: AttributeName,
  light: number | undefined,
): WheelInput[number] {
  if (called !== undefined) return { name, colour: called, ...(image !== undefined && { image }) };
  return {
    name,
    // On a wheel of gobos the light keeps its colour: white is only the default there.
    ...(colour !== undefined && of.startsWith('Color') && { colour: hexOf(colour), ...(light !== undefined && { light }) }),
    ...(facets > 0 && { facets }),
    ...(image !== undefined && { image }),
  };
}

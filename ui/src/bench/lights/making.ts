import { type EmitterName, isEmitter } from '../../../../node/core/attributes.ts';
import type { Place } from '../../../../node/plan/patch/addresses.ts';
import {
  firstUniverse,
  mendedPlaces,
  placeFields,
  placesFrom,
  type Sizes,
  sizesOf,
  slotsOf,
  startsOf,
} from '../../../../node/plan/patch/free-places.ts';
import type { FixtureType, Mode } from '../../../../node/rig/fixture-type.ts';
import { typesWith } from '../../../../node/rig/library.ts';
import { type AskedChange, difference, type Thing } from '../../../../node/show/change.ts';
import type { Show } from '../../../../node/show/document.ts';
import { countedNames } from './names.ts';

export type Light = Show['fixtures'][number];
/** One that has no place among the others yet. */
export type NewLight = Omit<Light, 'order'>;
export type Use = Light['use'];

export interface Wanted {
  readonly type: string;
  readonly mode: string;
  /** Slots from each start address on. */
  readonly sizes: Sizes;
  readonly name: string;
  readonly count: number;
  readonly use: Use;
  /** Where to look for room from; absent: behind nothing, in the first universe of the show. */
  readonly from?: Place | undefined;
}

/** New lights with names that count up and the first places that are free; undefined: there is no room for them. */
export function newLights(show: Show, { type, mode, sizes, name, count, use, from }: Wanted): NewLight[] | undefined {
  const start = from ?? { universe: firstUniverse(show), address: 1 };
  const wanted = Array.from({ length: count }, () => sizes);
  const places = placesFrom(slotsOf(show, new Set()), wanted, start);
  if (places === undefined) return undefined;
  const names = countedNames(
    name,
    count,
    show.fixtures.map((one) => one.name),
  );
  const ids = newIds(names, show.fixtures);
  return places.map((own, i) => ({ id: ids[i] ?? '', name: names[i] ?? name, type, mode, use, ...placeFields(own) }));
}

export const adding = (lights: readonly NewLight[]): AskedChange[] =>
  lights.map((now) => ({ do: 'add', kind: 'fixture', id: now.id, now }));

/** Ids after the names, none that is there. A name without a letter that an id may have is counted. */
function newIds(names: readonly string[], taken: readonly { readonly id: string }[]): string[] {
  const used = new Set(taken.map(({ id }) => id));
  return names.map((name) => {
    const base =
      name
        .toLowerCase()
        .normalize('NFKD')
        .replace(/[^a-z0-9]+/g, '-')
        .replace(/^-+|-+$/g, '')
        .slice(0, 50)
        .replace(/-+$/, '') || 'light';
    let id = base;
    for (let i = 2; used.has(id); i++) id = `${base}-${i}`;
    used.add(id);
    return id;
  });
}

/** More lights like these, behind each other in free places; where they are in the room nobody has said yet. */
export function duplicates(show: Show, chosen: readonly Light[]): NewLight[] | undefined {
  const sizes = chosen.map((one) => sizesOf(one, show.fixtureTypes) ?? [1]);
  const from = { universe: chosen[0]?.universe ?? firstUniverse(show), address: 1 };
  const places = placesFrom(slotsOf(show, new Set()), sizes, from);
  if (places === undefined) return undefined;
  const taken = show.fixtures.map(({ name }) => name);
  const names: string[] = [];
  for (const { name } of chosen) {
    const base = name.replace(/\s+\d{1,4}$/, '');
    names.push(...countedNames(base, 1, [...taken, ...names, base]));
  }
  const ids = newIds(names, show.fixtures);
  return chosen.map(({ order: _, further: __, pose: ___, ...one }, i) => ({
    ...one,
    id: ids[i] ?? '',
    name: names[i] ?? one.name,
    ...placeFields(places[i] ?? []),
  }));
}

/** Puts lights behind each other from a place on, between what the others have; undefined: there is no room. */
export function moving(show: Show, chosen: readonly Light[], from: Place): AskedChange[] | undefined {
  const sizes = chosen.map((one) => sizesOf(one, show.fixtureTypes) ?? [1]);
  const places = placesFrom(slotsOf(show, new Set(chosen.map(({ id }) => id))), sizes, from);
  return places?.flatMap((own, i) => standing(chosen[i] as Light, own));
}

/** Gives those that clash, or that stand nowhere, places of their own; undefined: there is no room. */
export function mending(show: Show): AskedChange[] | undefined {
  const places = mendedPlaces(show);
  return places && show.fixtures.flatMap((one) => standing(one, places.get(one.id) ?? []));
}

/** A light at other places. None: it stays. */
function standing(light: Light, places: readonly Place[]): AskedChange[] {
  if (places.length === 0) return [];
  const { further: _, ...rest } = light;
  return changing(light, { ...rest, ...placeFields(places) });
}

/** What it takes to make one light of another. */
export const changing = (before: Light, after: Light): AskedChange[] =>
  difference('fixture', before.id, before as Thing, clean(after) as Thing) as AskedChange[];

/** A field that is undefined is left out. */
const clean = (light: Light): Light =>
  Object.fromEntries(Object.entries(light).filter(([, value]) => value !== undefined)) as Light;

export const modeOf = ({ type, mode }: Pick<Light, 'type' | 'mode'>, own: readonly FixtureType[]): Mode | undefined =>
  typesWith(own)
    .get(type)
    ?.modes.find(({ id }) => id === mode);

/** What a mode can be adjusted in. */
export function adjustableIn(mode: Mode | undefined): { pan: boolean; tilt: boolean; emitters: readonly EmitterName[] } {
  const has = new Set(mode?.channels.flatMap(({ functions }) => functions.map(({ attribute }) => attribute)));
  return { pan: has.has('Pan'), tilt: has.has('Tilt'), emitters: [...has].filter(isEmitter) };
}

/** Whether a light turns its light about by two axes. */
export function doesTurn(light: Light, own: readonly FixtureType[]): boolean {
  const { pan, tilt } = adjustableIn(modeOf(light, own));
  return pan && tilt;
}

/**
 * Lights that are of another type or in another mode. Each stays where it stands; of further addresses those that it lacks are looked for. What
 * it was adjusted in and has no more is left out.
 */
export function retyping(
  show: Show,
  chosen: readonly Light[],
  to: { readonly type: string; readonly mode: string; readonly sizes: Sizes; readonly is?: Mode | undefined },
): AskedChange[] | undefined {
  const { pan, tilt, emitters } = to.is === undefined ? { pan: true, tilt: true, emitters: undefined } : adjustableIn(to.is);
  const slots = slotsOf(show, new Set());
  return chosen.flatMap((light) => {
    const kept = startsOf(light).slice(0, to.sizes.length);
    const home = { universe: light.universe ?? firstUniverse(show), address: 1 };
    const more = placesFrom(slots, [kept.length === 0 ? [] : to.sizes.slice(kept.length)], home)?.[0] ?? [];
    const { further: _, trim, invert, swapPanTilt, limits, ...rest } = light;
    const trims = Object.entries(trim ?? {}).filter(([name]) => emitters?.includes(name as EmitterName) ?? true);
    const after = {
      ...rest,
      type: to.type,
      mode: to.mode,
      ...placeFields([...kept, ...more]),
      trim: trims.length > 0 ? Object.fromEntries(trims) : undefined,
      invert: invert && (pan || tilt) ? { pan: pan && invert.pan, tilt: tilt && invert.tilt } : undefined,
      swapPanTilt: pan && tilt ? swapPanTilt : undefined,
      limits: limits && { ...(pan && { pan: limits.pan }), ...(tilt && { tilt: limits.tilt }) },
    };
    return changing(light, { ...after, limits: withSomething(after.limits) } as Light);
  });
}

function withSomething<T extends object>(of: T | undefined): T | undefined {
  const own = Object.entries(of ?? {}).filter(([, value]) => value !== undefined);
  return own.length === 0 ? undefined : (Object.fromEntries(own) as T);
}

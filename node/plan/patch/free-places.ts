import { SLOTS } from '../../core/levels.ts';
import { LAST_UNIVERSE } from '../../core/output-settings.ts';
import type { Universe } from '../../core/units.ts';
import { type FixtureType, footprints } from '../../rig/fixture-type.ts';
import { typesWith } from '../../rig/library.ts';
import type { Show } from '../../show/document.ts';
import type { Place } from './addresses.ts';

type Fixture = Show['fixtures'][number];

/** Slots that each start address of a lamp needs, the first one first. */
export type Sizes = readonly number[];

/** Which slots are taken. */
export class Slots {
  readonly #taken = new Map<Universe, Uint8Array>();

  isFree({ universe, address }: Place, size: number): boolean {
    const end = address - 1 + size;
    const row = this.#taken.get(universe);
    return end <= SLOTS && (row === undefined || row.subarray(address - 1, end).every((one) => one === 0));
  }

  take({ universe, address }: Place, size: number): void {
    const row = this.#taken.get(universe) ?? new Uint8Array(SLOTS);
    this.#taken.set(universe, row);
    row.fill(1, address - 1, address - 1 + size);
  }

  /** The first run of free slots from a place on, in that universe or the next that has one: no lamp is cut over two. */
  first({ universe, address }: Place, size: number): Place | undefined {
    if (size > SLOTS) return undefined;
    for (let u = universe, a = address; u <= LAST_UNIVERSE; u++, a = 1)
      for (; a + size - 1 <= SLOTS; a++) if (this.isFree({ universe: u, address: a }, size)) return { universe: u, address: a };
    return undefined;
  }
}

/**
 * Addresses for lamps, one behind the other from a place on, between what others have. @returns by lamp, a place for each start address;
 * undefined: there is no room left for all
 */
export function placesFrom(taken: Slots, wanted: readonly Sizes[], from: Place): Place[][] | undefined {
  const all: Place[][] = [];
  let next: Place | undefined = from;
  for (const sizes of wanted) {
    const own: Place[] = [];
    for (const size of sizes) {
      next = next && taken.first(next, size);
      if (next === undefined) return undefined;
      taken.take(next, size);
      own.push(next);
    }
    all.push(own);
  }
  return all;
}

/** What each start address of a fixture needs; undefined where its type or mode is not known. */
export function sizesOf({ type, mode }: Pick<Fixture, 'type' | 'mode'>, own: readonly FixtureType[]): Sizes | undefined {
  const found = typesWith(own)
    .get(type)
    ?.modes.find(({ id }) => id === mode);
  return found && footprints(found).map(({ size }) => size);
}

/** Where a fixture stands, a place for each start address that it has been given. */
export const startsOf = ({ universe, address, further = [] }: Fixture): readonly Place[] =>
  universe === undefined || address === undefined ? [] : [{ universe, address }, ...further];

/** The slots that the fixtures of a show have, but for some of them. */
export function slotsOf({ fixtures, fixtureTypes }: Pick<Show, 'fixtures' | 'fixtureTypes'>, but: ReadonlySet<string>): Slots {
  const slots = new Slots();
  for (const one of fixtures) {
    if (but.has(one.id)) continue;
    const sizes = sizesOf(one, fixtureTypes) ?? [];
    for (const [i, place] of startsOf(one).entries()) slots.take(place, sizes[i] ?? 0);
  }
  return slots;
}

/** The lowest universe that a show uses; 1 where it uses none. */
export function firstUniverse({ fixtures }: Pick<Show, 'fixtures'>): Universe {
  const used = fixtures.flatMap(({ universe }) => universe ?? []);
  return used.length === 0 ? 1 : Math.min(...used);
}

/**
 * New places for those lamps alone that have none, share slots with one before them or run off the end of a universe. Each stays in its
 * universe where that has room. @returns by id; undefined: there is no room left
 */
export function mendedPlaces(show: Pick<Show, 'fixtures' | 'fixtureTypes'>): ReadonlyMap<string, readonly Place[]> | undefined {
  const slots = new Slots();
  const open: { readonly one: Fixture; readonly sizes: Sizes; readonly kept: readonly (Place | undefined)[] }[] = [];
  for (const one of show.fixtures) {
    const sizes = sizesOf(one, show.fixtureTypes);
    if (sizes === undefined) continue;
    const starts = startsOf(one);
    const kept = sizes.map((size, i) => {
      const at = starts[i];
      if (at === undefined || !slots.isFree(at, size)) return undefined;
      slots.take(at, size);
      return at;
    });
    if (kept.some((at) => at === undefined) || starts.length !== sizes.length) open.push({ one, sizes, kept });
  }
  const places = new Map<string, Place[]>();
  for (const { one, sizes, kept } of open) {
    const home = one.universe ?? firstUniverse(show);
    const own: Place[] = [];
    for (const [i, size] of sizes.entries()) {
      const at = kept[i] ?? slots.first({ universe: home, address: 1 }, size) ?? slots.first({ universe: 1, address: 1 }, size);
      if (at === undefined) return undefined;
      if (kept[i] === undefined) slots.take(at, size);
      own.push(at);
    }
    places.set(one.id, own);
  }
  return places;
}

/** The fields of a fixture that say where it stands. */
export function placeFields([first, ...further]: readonly Place[]): Pick<Fixture, 'universe' | 'address' | 'further'> {
  return { ...first, ...(further.length > 0 && { further }) };
}

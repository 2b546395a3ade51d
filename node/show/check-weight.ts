import { MOST_AT_ONCE } from '../core/limits.ts';
import { type FixtureType, footprints, type Mode } from '../rig/fixture-type.ts';
import { typesWith } from '../rig/library.ts';
import type { Show, Who } from './document.ts';
import { type Fault, faultAt, type Place, placeOfShow, placesOf } from './places.ts';

/**
 * What a show may ask of a small board at most. A frame is due every 25 ms, and a board takes about five times as long as a desktop
 * machine, on which 100,000 lamps are made ready in some 200 ms. A lamp is a fixture, or a part of one that wears a colour of its own: a
 * bar of eight cells counts nine. One of which a part names attributes counts once more for every eight of them, so that all values of a show
 * together stay within some tens of megabytes.
 */

const most = {
  /** Slots of all fixtures: 128 full universes. Guards and encoding go over all of them in every frame. */
  slots: 65_536,
  /** Lamps that one thing sets, over all its steps and parts: what it takes to make it ready, and to hold it. */
  item: 100_000,
  /** The same for the whole show. */
  show: 400_000,
  /** Lamps that one frame may have to draw, were the largest things of the show all to play at once. */
  frame: 100_000,
} as const;

/** What would be too heavy to play, with the number that says so. */
export function* weightFaults(show: Show): Generator<Fault> {
  const rig = new Lamps(show);
  const at = placeOfShow(show);
  if (rig.slots > most.slots)
    yield faultAt(at, 'fixtures', `take ${count(rig.slots)} slots together; a frame has room for ${count(most.slots)}`);

  const items = [...weights(show, rig)];
  for (const { place, sets } of items)
    if (sets > most.item)
      yield faultAt(
        place,
        '',
        `is too heavy: over all its parts it sets ${count(sets)} lamps, and ${count(most.item)} is the most (a bar of eight cells counts nine)`,
      );
  const all = items.reduce((sum, { sets }) => sum + sets, 0);
  if (all > most.show)
    yield faultAt(
      at,
      '',
      `the show is too heavy: its things set ${count(all)} lamps together, and ${count(most.show)} is the most`,
    );
  const drawn = items.map(({ draws }) => draws).sort((a, b) => b - a);
  const frame = drawn.slice(0, MOST_AT_ONCE).reduce((sum, one) => sum + one, 0);
  if (frame > most.frame)
    yield faultAt(
      at,
      '',
      `the show is too heavy: the ${MOST_AT_ONCE} largest things that may play at once draw ${count(frame)} lamps in every frame, and ${count(most.frame)} is the most`,
    );
}

interface Weight {
  readonly place: Place;
  /** Lamps over all steps and parts. */
  readonly sets: number;
  /** Lamps in a frame. */
  readonly draws: number;
}

function* weights(show: Show, rig: Lamps): Generator<Weight> {
  const weight = (place: Place, parts: readonly Speaking[]): Weight => {
    const sets = rig.ofParts(parts);
    return { place, sets, draws: Math.min(sets, rig.all) };
  };
  for (const place of placesOf(show, 'look')) yield weight(place, place.thing.parts);
  for (const place of placesOf(show, 'hit')) yield weight(place, place.thing.parts);
  for (const place of placesOf(show, 'movement')) yield weight(place, [place.thing]);
  for (const place of placesOf(show, 'chase')) {
    const { steps } = place.thing;
    yield weight(
      place,
      steps.flatMap(({ parts }) => parts),
    );
  }
}

interface Speaking {
  readonly who: readonly Who[];
  readonly attributes?: object | undefined;
}

const timesCounted = ({ attributes = {} }: Speaking): number => 1 + Math.floor(Object.keys(attributes).length / 8);

/** How many lamps there are, and how many somebody speaks of. */
class Lamps {
  readonly #of = new Map<string, number>();
  readonly #groups = new Map<string, number>();
  readonly #uses = new Map<string, number>();
  #all = 0;
  #slots = 0;

  constructor(show: Show) {
    const types = typesWith<FixtureType>(show.fixtureTypes);
    const known = new Map<Mode, { readonly lamps: number; readonly slots: number }>();
    for (const { id, type, mode: modeId, use } of show.fixtures) {
      const mode = types.get(type)?.modes.find((one) => one.id === modeId);
      const { lamps, slots } = (mode && known.get(mode)) ?? sizeOf(mode);
      if (mode !== undefined) known.set(mode, { lamps, slots });
      this.#of.set(id, lamps);
      this.#uses.set(use, (this.#uses.get(use) ?? 0) + lamps);
      this.#all += lamps;
      this.#slots += slots;
    }
    for (const { id, fixtures } of show.groups)
      this.#groups.set(
        id,
        fixtures.reduce((sum, one) => sum + (this.#of.get(one) ?? 0), 0),
      );
  }

  get all(): number {
    return this.#all;
  }

  get slots(): number {
    return this.#slots;
  }

  ofParts(parts: readonly Speaking[]): number {
    return parts.reduce((sum, part) => sum + timesCounted(part) * part.who.reduce((inner, one) => inner + this.#ofWho(one), 0), 0);
  }

  #ofWho(who: Who): number {
    if ('fixture' in who) return this.#of.get(who.fixture) ?? 0;
    if ('group' in who) return this.#groups.get(who.group) ?? 0;
    return 'use' in who ? (this.#uses.get(who.use) ?? 0) : this.#all;
  }
}

const sizeOf = (mode: Mode | undefined): { lamps: number; slots: number } => ({
  lamps: 1 + new Set(mode?.channels.flatMap(({ part }) => part ?? [])).size,
  slots: mode === undefined ? 0 : footprints(mode).reduce((sum, { size }) => sum + size, 0),
});

const count = (of: number): string => of.toLocaleString('en');

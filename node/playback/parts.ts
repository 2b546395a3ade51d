import { type AttributeName, attribute } from '../core/attributes.ts';
import { clampLevel } from '../core/units.ts';
import type { FixtureType } from '../fixtures/fixture-type.ts';
import type { Rig, RigFixture } from '../fixtures/rig.ts';
import { oklabOf } from '../plan/colour/of-value.ts';
import type { Triple } from '../plan/colour/oklab.ts';
import { type ColourValue, parseColour } from '../show/colour-value.ts';
import type { Part, Show, Who } from '../show/document.ts';

/** Values by cell, in the order in which they were first named. */
export type CellValues = ReadonlyMap<number, number>;

/** Field of a part and the attribute that it speaks of. */
const fields = [
  ['level', 'Dimmer'],
  ['gobo', 'Gobo1'],
  ['zoom', 'Zoom'],
  ['uv', 'ColorAdd_UV'],
  ['strobe', 'Shutter1Strobe'],
  ['haze', 'Haze1'],
  ['fan', 'Fan1'],
] as const satisfies readonly (readonly [keyof Part, AttributeName])[];

/** Reads parts against a rig: which fixtures, which cells, which values. What a fixture cannot do it is not asked to. */
export class PartReader {
  readonly #show: Show;
  readonly #rig: Rig;
  readonly #placeOf: ReadonlyMap<string, number>;

  constructor(show: Show, rig: Rig) {
    this.#show = show;
    this.#rig = rig;
    this.#placeOf = new Map(rig.fixtures.map(({ id }, place) => [id, place]));
  }

  /** Fixtures in the order of the patch, each once. Looks at no more fixtures than are wanted: a show may have thousands of parts. */
  fixtures(who: readonly Who[]): readonly RigFixture[] {
    const wanted = new Set(who.flatMap((one) => this.#ids(one)));
    const places = [...wanted].map((id) => this.#placeOf.get(id)).filter((place) => place !== undefined);
    return places.sort((a, b) => a - b).map((place) => this.#rig.fixtures[place] as RigFixture);
  }

  /** Where parts name the same cell the later one stands. */
  cells(parts: readonly Part[]): CellValues {
    const values = new Map<number, number>();
    for (const part of parts) {
      this.fixtures(part.who).forEach((fixture, place) => {
        for (const [name, value] of this.#values(part, fixture, place)) {
          const cell = fixture.cells.get(name);
          if (cell !== undefined) values.set(cell, value);
        }
      });
    }
    return values;
  }

  #ids(who: Who): readonly string[] {
    if ('fixture' in who) return [who.fixture];
    if ('group' in who) return this.#show.groups.find(({ id }) => id === who.group)?.fixtures ?? [];
    return this.#show.fixtures.filter(({ use }) => 'all' in who || use === who.use).map(({ id }) => id);
  }

  *#values(part: Part, fixture: RigFixture, place: number): Iterable<readonly [AttributeName, number]> {
    for (const [field, name] of fields) {
      const value = part[field];
      if (value !== undefined) yield [name, value];
    }
    if (part.aim !== undefined) {
      yield ['Pan', part.aim.pan];
      yield ['Tilt', part.aim.tilt];
    }
    const colours = [part.colour ?? []].flat();
    const text = colours[place % colours.length];
    if (text !== undefined) yield* this.#colour(this.#oklab(parseColour(text)), fixture.type);
    for (const [key, value] of Object.entries(part.attributes ?? {})) {
      const name = key as AttributeName;
      // A level beyond full would stay full while a master takes it down.
      yield [name, attribute(name).unit === 'level' ? clampLevel(value) : value];
    }
  }

  *#colour(oklab: Triple, type: FixtureType): Iterable<readonly [AttributeName, number]> {
    yield ['ColourL', oklab[0]];
    yield ['ColourA', oklab[1]];
    yield ['ColourB', oklab[2]];
    const slot = this.#nearestSlot(oklab, type);
    if (slot > 0) yield ['Color1', slot];
  }

  /** Slot of the colour wheel that comes closest, from 1; 0 where no slot has a colour. */
  #nearestSlot(wanted: Triple, type: FixtureType): number {
    let [best, nearest] = [0, Number.POSITIVE_INFINITY];
    type.wheels.Color1?.forEach(({ colour }, i) => {
      if (colour === undefined) return;
      const has = this.#oklab(parseColour(colour));
      const distance = Math.hypot(has[0] - wanted[0], has[1] - wanted[1], has[2] - wanted[2]);
      if (distance < nearest) [best, nearest] = [i + 1, distance];
    });
    return best;
  }

  #oklab(value: ColourValue | undefined): Triple {
    return value === undefined ? [1, 0, 0] : oklabOf(value, (id) => this.#theme(id));
  }

  #theme(id: string): ColourValue {
    const text = this.#show.theme.colours.find((one) => one.id === id)?.value;
    return (text === undefined ? undefined : parseColour(text)) ?? { kind: 'kelvin', kelvin: 3000 };
  }
}

import { type AttributeName, attribute, type EmitterName } from '../core/attributes.ts';
import { clampLevel } from '../core/units.ts';
import { type ColourValue, parseColour } from '../light/colour-value.ts';
import { chromaticityOf, oklabOf } from '../light/of-value.ts';
import type { Triple } from '../light/oklab.ts';
import type { FixtureType } from '../rig/fixture-type.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import type { Lamp, Rig, RigFixture } from '../rig/rig.ts';
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
  readonly #colours = new LampColours();

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

  /**
   * Where parts name the same cell the later one stands. `among` are the parts of the whole item (all steps of a chase): those that ask
   * for a match are matched to the weakest lamp and colour of all of them.
   */
  cells(parts: readonly Part[], among: readonly Part[] = parts): CellValues {
    const values = new Map<number, number>();
    const least = this.#weakest(among);
    for (const part of parts) {
      const fixtures = this.fixtures(part.who);
      const weakest = part.brightness === 'match' ? least : Number.POSITIVE_INFINITY;
      let place = 0;
      for (const fixture of fixtures) {
        for (const lamp of fixture.lamps) {
          for (const [name, value] of this.#values(part, fixture, lamp, place, weakest)) {
            const cell = lamp.cells.get(name);
            if (cell !== undefined) values.set(cell, value);
          }
          if (wearsColour(lamp, fixture)) place++;
        }
      }
    }
    return values;
  }

  #ids(who: Who): readonly string[] {
    if ('fixture' in who) return [who.fixture];
    if ('group' in who) return this.#show.groups.find(({ id }) => id === who.group)?.fixtures ?? [];
    return this.#show.fixtures.filter(({ use }) => 'all' in who || use === who.use).map(({ id }) => id);
  }

  *#values(
    part: Part,
    fixture: RigFixture,
    lamp: Lamp,
    place: number,
    weakest: number,
  ): Iterable<readonly [AttributeName, number]> {
    for (const [field, name] of fields) {
      const value = part[field];
      if (value !== undefined) yield [name, value];
    }
    // The whole dims for its parts: they stand open behind it.
    if (part.level !== undefined && lamp.part > 0 && fixture.lamps[0].cells.has('Dimmer')) yield ['Dimmer', 1];
    if (part.aim !== undefined) {
      yield ['Pan', part.aim.pan];
      yield ['Tilt', part.aim.tilt];
    }
    const colour = this.#colourAt(part, place);
    if (colour !== undefined) yield* this.#colour(colour, fixture, lamp, weakest);
    for (const [key, value] of Object.entries(part.attributes ?? {})) {
      const name = key as AttributeName;
      // A level beyond full would stay full while a master takes it down.
      yield [name, attribute(name).unit === 'level' ? clampLevel(value) : value];
    }
  }

  /** Colours are dealt out in turn over the lamps that can wear one. */
  #colourAt(part: Part, place: number): ColourValue | undefined {
    const colours = [part.colour ?? []].flat();
    const text = colours[place % colours.length];
    return text === undefined ? undefined : parseColour(text);
  }

  *#colour(
    colour: ColourValue,
    fixture: RigFixture,
    { emitters }: Lamp,
    weakest: number,
  ): Iterable<readonly [AttributeName, number]> {
    if (emitters.length > 0) {
      const [lightness, a, b] = this.#reach(colour, fixture, emitters, weakest);
      yield ['ColourL', lightness];
      yield ['ColourA', a];
      yield ['ColourB', b];
    }
    const slot = this.#nearestSlot(oklabOf(colour, this.#theme), fixture.type);
    if (slot > 0) yield ['Color1', slot];
  }

  /** The colour as bright as the lamp can, or as the weakest lamp of the part can; black is no light at all. */
  #reach(colour: ColourValue, fixture: RigFixture, emitters: readonly EmitterName[], weakest: number): Triple {
    const at = chromaticityOf(colour, this.#theme);
    if (at === undefined) return [0, 0, 0];
    const { oklab, luminance } = this.#colours.of(fixture, emitters).reach(...at);
    // Oklab goes with the cube root of light.
    const scale = Math.cbrt(Math.min(1, weakest / luminance));
    return [oklab[0] * scale, oklab[1] * scale, oklab[2] * scale];
  }

  /** Least luminance that any lamp of the parts to be matched can give in the colour that falls to it. */
  #weakest(parts: readonly Part[]): number {
    let least = Number.POSITIVE_INFINITY;
    for (const part of parts) {
      if (part.brightness !== 'match') continue;
      let place = 0;
      for (const fixture of this.fixtures(part.who)) {
        for (const lamp of fixture.lamps) {
          if (!wearsColour(lamp, fixture)) continue;
          const colour = this.#colourAt(part, place++);
          const at = colour === undefined ? undefined : chromaticityOf(colour, this.#theme);
          if (at === undefined || lamp.emitters.length === 0) continue;
          least = Math.min(least, this.#colours.of(fixture, lamp.emitters).reach(...at).luminance);
        }
      }
    }
    return least;
  }

  /** Slot of the colour wheel that comes closest, from 1; 0 where no slot has a colour. */
  #nearestSlot(wanted: Triple, type: FixtureType): number {
    let [best, nearest] = [0, Number.POSITIVE_INFINITY];
    type.wheels.Color1?.forEach(({ colour }, i) => {
      const value = colour === undefined ? undefined : parseColour(colour);
      if (value === undefined) return;
      const has = oklabOf(value, this.#theme);
      const distance = Math.hypot(has[0] - wanted[0], has[1] - wanted[1], has[2] - wanted[2]);
      if (distance < nearest) [best, nearest] = [i + 1, distance];
    });
    return best;
  }

  readonly #theme = (id: string): ColourValue => {
    const text = this.#show.theme.colours.find((one) => one.id === id)?.value;
    return (text === undefined ? undefined : parseColour(text)) ?? { kind: 'kelvin', kelvin: 3000 };
  };
}

/** A lamp that mixes a colour or turns a wheel; of several parts each, their whole not. */
const wearsColour = ({ emitters, part, cells }: Lamp, { lamps }: RigFixture): boolean =>
  emitters.length > 0 || cells.has('Color1') || (part === 0 && lamps.length === 1);

import { type AttributeName, colourCells } from '../core/attributes.ts';
import { levelFor, lightAt } from '../light/lightness.ts';
import { brightnessOf } from '../rig/brightness.ts';
import { inkNames, takesAway } from '../rig/inks.ts';
import { strobeOf } from '../rig/light-parts.ts';
import { cellsOf, type Lamp, type Rig, type RigFixture } from '../rig/rig.ts';
import type { Part, Show, Who } from '../show/document.ts';
import { add, type BitSet, emptySet, membersOf, setOf, unite } from './bit-set.ts';
import { type Colour, Colours, matchedShare, SEEN, staysBrighter } from './colours.ts';
import type { CellValues } from './stroke.ts';
import { WheelSlots } from './wheels.ts';

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

/** A note on how a look was made, and not on what guests will see otherwise than was asked. */
export const GUESSED = 'their balance is guessed';
/** Said of lamps that are not taken down as far as the weakest beside them would need. */
const STAYS_BRIGHTER = 'brighter than the weakest lamp all the same; none is matched by more than ten to one';

/** Reads parts against a rig: which fixtures, which cells, which values. What a fixture cannot do it is not asked to. */
export class PartReader {
  readonly #rig: Rig;
  readonly #places: Places;
  readonly #colours: Colours;
  readonly #wheels = new WheelSlots();
  /** By cell: the place of its fixture, where what is set is put together, and its place among those that are set. */
  readonly #placeOf: Uint32Array;
  readonly #values: Float64Array;
  readonly #at: Int32Array;

  constructor(show: Pick<Show, 'fixtures' | 'groups' | 'theme'>, rig: Rig) {
    this.#rig = rig;
    this.#places = new Places(show);
    this.#colours = new Colours(show.theme);
    this.#values = new Float64Array(this.size);
    this.#at = new Int32Array(this.size);
    this.#placeOf = new Uint32Array(this.size);
    for (const [place, fixture] of rig.fixtures.entries()) for (const [, cell] of cellsOf(fixture)) this.#placeOf[cell] = place;
  }

  /** Number of cells of a frame. */
  get size(): number {
    return this.#rig.rest.length;
  }

  /** Fixtures in the order of the patch, each once. */
  fixtures(who: readonly Who[]): readonly RigFixture[] {
    return Array.from(membersOf(this.#places.of(who)), (place) => this.#rig.fixtures[place] as RigFixture);
  }

  /** Places in the patch of the fixtures that these cells belong to. */
  placesOf(cells: Uint32Array): BitSet {
    return setOf(
      this.#rig.fixtures.length,
      cells.map((cell) => this.#placeOf[cell] as number),
    );
  }

  /**
   * What parts set; where they name the same cell the later one stands. Those that ask for a match give no more candela than `least`: what
   * the weakest of the whole item (all steps of a chase) can.
   */
  read(parts: readonly Part[], least = this.weakest(parts)): CellValues {
    const named = emptySet(this.size);
    for (const part of parts) this.#readPart(part, part.brightness === 'match' ? least : Number.POSITIVE_INFINITY, named);
    const cells = membersOf(named);
    const values = new Float64Array(cells.length);
    for (let i = 0; i < cells.length; i++) values[i] = this.#values[cells[i] as number] as number;
    return { cells, values, levels: this.#levelsOf(cells) };
  }

  /** By cell of what tells of a light, where among these cells its level stands. */
  #levelsOf(cells: Uint32Array): Int32Array {
    const { dimmerOf } = this.#rig;
    for (let i = 0; i < cells.length; i++) this.#at[cells[i] as number] = i;
    // What stands in a place that is not of these cells is left from others.
    const placeOf = (dimmer: number) =>
      dimmer >= 0 && cells[this.#at[dimmer] as number] === dimmer ? (this.#at[dimmer] as number) : -1;
    return cells.length === 0 ? new Int32Array() : Int32Array.from(cells, (cell) => placeOf(dimmerOf[cell] as number));
  }

  /** Least candela that any lamp of the parts to be matched can give in the colour that falls to it. */
  weakest(parts: readonly Part[]): number {
    let least = Number.POSITIVE_INFINITY;
    for (const part of parts) {
      if (part.brightness !== 'match') continue;
      const colours = this.#coloursOf(part);
      let place = 0;
      for (const fixture of this.fixtures(part.who)) {
        for (const lamp of fixture.lamps) {
          if (colours.length === 0 || !wearsColour(lamp, fixture)) continue;
          const colour = colours[place++ % colours.length] as Colour;
          least = Math.min(least, this.#candela(colour, fixture, lamp));
        }
      }
    }
    return least;
  }

  /** What a lamp gives at most in the colour that falls to it, in candela; infinite for one that is not to be compared. */
  #candela(colour: Colour, fixture: RigFixture, lamp: Lamp): number {
    if (lamp.emitters.length > 0) return this.#colours.candela(colour, fixture, lamp);
    if (colour.at === undefined || !isPlainLight(lamp, fixture)) return Number.POSITIVE_INFINITY;
    const through = this.#wheels.through(colour, fixture, lamp);
    return through > 0 ? brightnessOf(fixture, lamp, 0).candela * through : Number.POSITIVE_INFINITY;
  }

  #isGuess(fixture: RigFixture, lamp: Lamp): boolean {
    if (lamp.emitters.length > 0) return this.#colours.isGuess(fixture, lamp);
    return isPlainLight(lamp, fixture) && brightnessOf(fixture, lamp, 0).isGuess;
  }

  /**
   * In words, each once: colours that lamps cannot reach, strobes that cannot be as slow as they are asked to be, and lamps of which it is
   * guessed how bright they are.
   */
  notes(parts: readonly Part[]): string[] {
    const notes = new Set<string>();
    const missed = new Map<string, Set<string>>();
    const bright = new Set<string>();
    const least = this.weakest(parts);
    for (const part of parts) {
      const colours = this.#coloursOf(part);
      let place = 0;
      const hertz = part.attributes?.Shutter1Strobe ?? part.strobe ?? 0;
      for (const fixture of this.fixtures(part.who)) {
        for (const lamp of fixture.lamps) {
          if (hertz > 0 && hertz < (strobeOf(lamp)?.slowest ?? 0))
            notes.add(`${fixture.type.name}: cannot flash as slowly as ${hertz} a second; its light stays on`);
          if (colours.length === 0 || !wearsColour(lamp, fixture)) continue;
          const colour = colours[place++ % colours.length] as Colour;
          const { name } = fixture.type;
          if (part.brightness === 'match') {
            if (this.#isGuess(fixture, lamp)) notes.add(GUESSED);
            if (staysBrighter(this.#candela(colour, fixture, lamp), least)) bright.add(name);
          }
          if (!mixesColour(lamp)) continue;
          const off = takesAway(lamp) ? this.#wheels.inks(colour, fixture).off : this.#colours.off(colour, fixture, lamp);
          if (off > SEEN) missed.set(colour.called, (missed.get(colour.called) ?? new Set()).add(name));
        }
      }
    }
    for (const [colour, names] of missed) notes.add(`${[...names].join('; ')}: cannot reach ${colour}; the nearest is shown`);
    if (bright.size > 0) notes.add(`${[...bright].join('; ')}: ${STAYS_BRIGHTER}`);
    return [...notes];
  }

  #readPart(part: Part, most: number, named: BitSet): void {
    const values = this.#values;
    const set = (cell: number | undefined, value: number): void => {
      if (cell === undefined) return;
      values[cell] = value;
      add(named, cell);
    };
    const before = valuesOf(part);
    const after = directly(part);
    const colours = this.#coloursOf(part);
    let place = 0;
    for (const fixture of this.fixtures(part.who)) {
      const { lamps } = fixture;
      if (colours.length > 0) this.#openWheels(fixture, set);
      const opensParts = part.level !== undefined && lamps[0].cells.has('Dimmer');
      for (const lamp of lamps) {
        for (const [name, value] of before) set(lamp.cells.get(airs(name, lamp) ? 'Fog1' : name), value);
        // The whole dims for its parts: they stand open behind it.
        if (opensParts && lamp.part > 0) set(lamp.cells.get('Dimmer'), 1);
        // Colours are dealt out in turn over the lamps that can wear one.
        if (colours.length > 0 && wearsColour(lamp, fixture)) {
          const colour = colours[place++ % colours.length] as Colour;
          this.#colour(colour, fixture, lamp, most, set);
          // What has no emitters to be taken down is dimmed.
          const share = lamp.emitters.length > 0 ? 1 : matchedShare(this.#candela(colour, fixture, lamp), most);
          if (share < 1 && part.level !== undefined)
            set(lamp.cells.get('Dimmer'), levelFor(share * lightAt(opensParts && lamp.part > 0 ? 1 : part.level)));
        }
        for (const [name, value] of after) set(lamp.cells.get(name), value);
      }
    }
  }

  #colour(
    colour: Colour,
    fixture: RigFixture,
    lamp: Lamp,
    most: number,
    set: (cell: number | undefined, value: number) => void,
  ): void {
    if (lamp.emitters.length > 0) {
      const oklab = this.#colours.worn(colour, fixture, lamp, most);
      for (const [i, name] of colourCells.entries()) set(lamp.cells.get(name), oklab[i] as number);
    } else if (takesAway(lamp)) {
      const { inks } = this.#wheels.inks(colour, fixture);
      for (const [i, name] of inkNames.entries()) set(lamp.cells.get(name), inks[i] as number);
    }
    // What mixes needs no filter, and one more would spoil the mixture.
    const slot = mixes(fixture) ? 0 : this.#wheels.nearest(colour, fixture);
    if (slot > 0) set(lamp.cells.get('Color1'), slot);
  }

  /** Lets the light of a fixture pass by the wheels that its colour does not need. */
  #openWheels(fixture: RigFixture, set: (cell: number | undefined, value: number) => void): void {
    for (const wheel of mixes(fixture) ? (['Color1', 'Color2'] as const) : (['Color2'] as const)) {
      const slot = this.#wheels.open(wheel, fixture);
      if (slot > 0) for (const { cells } of fixture.lamps) set(cells.get(wheel), slot);
    }
  }

  #coloursOf({ colour }: Part): readonly Colour[] {
    return [colour ?? []].flat().flatMap((text) => this.#colours.read(text) ?? []);
  }
}

/** Who is meant, as places in the patch. */
class Places {
  readonly #count: number;
  readonly #byId: ReadonlyMap<string, number>;
  readonly #everybody: BitSet;
  readonly #uses = new Map<string, BitSet>();
  readonly #groups: ReadonlyMap<string, readonly string[]>;
  readonly #known = new Map<string, BitSet>();

  constructor({ fixtures, groups }: Pick<Show, 'fixtures' | 'groups'>) {
    this.#count = fixtures.length;
    this.#byId = new Map(fixtures.map(({ id }, place) => [id, place]));
    this.#everybody = emptySet(this.#count);
    for (const [place, { use }] of fixtures.entries()) {
      const ofUse = this.#uses.get(use) ?? emptySet(this.#count);
      this.#uses.set(use, ofUse);
      add(ofUse, place);
      add(this.#everybody, place);
    }
    this.#groups = new Map(groups.map(({ id, fixtures: of }) => [id, of]));
  }

  of(who: readonly Who[]): BitSet {
    const wanted = emptySet(this.#count);
    for (const one of who) {
      if ('fixture' in one) this.#addFixture(wanted, one.fixture);
      else if ('group' in one) unite(wanted, this.#group(one.group));
      else if ('all' in one) unite(wanted, this.#everybody);
      else unite(wanted, this.#uses.get(one.use) ?? emptySet(this.#count));
    }
    return wanted;
  }

  #group(id: string): BitSet {
    const known = this.#known.get(id);
    if (known !== undefined) return known;
    const places = emptySet(this.#count);
    for (const fixture of this.#groups.get(id) ?? []) this.#addFixture(places, fixture);
    this.#known.set(id, places);
    return places;
  }

  #addFixture(to: BitSet, id: string): void {
    const place = this.#byId.get(id);
    if (place !== undefined) add(to, place);
  }
}

/** What a part sets by name on every lamp that has it. */
function valuesOf(part: Part): readonly (readonly [AttributeName, number])[] {
  const named = fields.flatMap(([field, name]) => {
    const value = part[field];
    return value === undefined ? [] : [[name, value] as const];
  });
  const { aim } = part;
  return aim === undefined ? named : [...named, ['Pan', aim.pan], ['Tilt', aim.tilt]];
}

/** To a show haze is what is put into the air: what gives fog alone gives that. */
const airs = (name: AttributeName, { cells }: Lamp): boolean => name === 'Haze1' && !cells.has('Haze1');

const directly = ({ attributes = {} }: Part): readonly (readonly [AttributeName, number])[] =>
  Object.entries(attributes) as [AttributeName, number][];

/** A lamp without emitters that has light of its own to be compared: no air, no beam that must not be judged by, no UV alone. */
const isPlainLight = ({ cells }: Lamp, { type, use }: RigFixture): boolean =>
  cells.has('Dimmer') && type.kind !== 'laser' && use !== 'laser' && use !== 'haze' && !cells.has('ColorAdd_UV');

const mixesColour = (lamp: Lamp): boolean => lamp.emitters.length > 0 || takesAway(lamp);
const mixes = ({ lamps }: RigFixture): boolean => lamps.some(mixesColour);

/** A lamp that mixes a colour, or turns a wheel where nothing mixes; of several parts each, their whole not. */
const wearsColour = (lamp: Lamp, fixture: RigFixture): boolean =>
  mixesColour(lamp) || (!mixes(fixture) && lamp.cells.has('Color1')) || (lamp.part === 0 && fixture.lamps.length === 1);

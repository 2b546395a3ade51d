import { type AttributeName, colourCells } from '../core/attributes.ts';
import { levelFor, lightAt } from '../light/lightness.ts';
import { brightnessOf } from '../rig/brightness.ts';
import { colourWheels } from '../rig/filters.ts';
import type { Head } from '../rig/head.ts';
import { inkNames, takesAway } from '../rig/inks.ts';
import { isLaser } from '../rig/is-laser.ts';
import { strobeOf } from '../rig/light-parts.ts';
import { cellsOf, type Lamp, type Rig, type RigFixture } from '../rig/rig.ts';
import type { Aim, Part, Show, Who } from '../show/document.ts';
import { type Aimed, Aims, isInRoom, type Looking, MISSED, type Turning } from './aims.ts';
import { add, type BitSet, emptySet, membersOf, setOf } from './bit-set.ts';
import { type Colour, Colours, matchedShare, SEEN, staysBrighter } from './colours.ts';
import { Meant } from './meant.ts';
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
/** Said of a part that asks for a match and names no colour. */
const NOTHING_TO_MATCH = 'lamps are matched in a colour, and this names none';
/** Said of lamps that are not taken down as far as the weakest beside them would need. */
const STAYS_BRIGHTER = 'brighter than the weakest lamp all the same; none is matched by more than ten to one';

/** What parts set, and what heads they aim at places in the room. */
export interface PartValues extends CellValues {
  readonly aims: readonly Aimed[];
}

/** CIEDE2000 from which on a filter is another colour, and no shade of the one that was asked for: wheels have few. Common practice, no source. */
const ANOTHER_COLOUR = 10;

/** Reads parts against a rig: which fixtures, which cells, which values. What a fixture cannot do it is not asked to. */
export class PartReader {
  readonly #rig: Rig;
  readonly #meant: Meant;
  readonly #colours: Colours;
  readonly #wheels = new WheelSlots();
  readonly #aims: Aims;
  /** What of that which is being read is aimed at a place of the room. */
  readonly #aimed = new Map<Lamp, Aimed>();
  /** By cell: the place of its fixture, where what is set is put together, and its place among those that are set. */
  readonly #placeOf: Uint32Array;
  readonly #values: Float64Array;
  readonly #at: Int32Array;

  constructor(show: Pick<Show, 'fixtures' | 'groups' | 'theme' | 'landmarks'>, rig: Rig) {
    this.#rig = rig;
    this.#meant = new Meant(show);
    this.#colours = new Colours(show.theme);
    this.#aims = new Aims(show);
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
    return Array.from(membersOf(this.#meant.of(who)), (place) => this.#rig.fixtures[place] as RigFixture);
  }

  /** Lamps that look about by two axes, in the order of the patch. */
  heads(who: readonly Who[]): readonly Turning[] {
    return this.fixtures(who).flatMap((fixture) =>
      fixture.lamps.filter(({ cells }) => cells.has('Pan') && cells.has('Tilt')).map((lamp) => ({ fixture, lamp })),
    );
  }

  looking = (who: readonly Who[], aim: Aim): readonly Looking[] => this.#aims.of(aim, this.heads(who));
  headOf = ({ fixture, lamp }: Turning): Head | undefined => this.#aims.headOf(fixture, lamp);
  /** What guests see otherwise than an aim asks, in words. */
  aimNotes = (aim: Aim | undefined, who: readonly Who[]): readonly string[] =>
    aim === undefined ? [] : this.#aims.notes(aim, this.heads(who));

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
  read(parts: readonly Part[], least = this.weakest(parts)): PartValues {
    this.#aimed.clear();
    const named = emptySet(this.size);
    for (const part of parts) this.#readPart(part, part.brightness === 'match' ? least : Number.POSITIVE_INFINITY, named);
    const cells = membersOf(named);
    const values = new Float64Array(cells.length);
    for (let i = 0; i < cells.length; i++) values[i] = this.#values[cells[i] as number] as number;
    return { cells, values, levels: this.#levelsOf(cells), aims: [...this.#aimed.values()] };
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
   * In words, each once: colours that lamps cannot reach, strobes that cannot be as slow as they are asked to be, lamps that are too bright to
   * be matched, and that it is guessed how bright lamps are.
   */
  notes(parts: readonly Part[]): string[] {
    const notes = new Set<string>();
    const missed = new Map<string, Set<string>>();
    const bright = new Set<string>();
    const least = this.weakest(parts);
    for (const part of parts) {
      const colours = this.#coloursOf(part);
      for (const note of this.aimNotes(part.aim, part.who)) notes.add(note);
      if (part.brightness === 'match' && colours.length === 0) notes.add(NOTHING_TO_MATCH);
      let place = 0;
      const hertz = part.attributes?.Shutter1Strobe ?? part.strobe ?? 0;
      for (const fixture of this.fixtures(part.who)) {
        if (hertz > 0 && !flashes(fixture)) notes.add(`${fixture.type.name}: cannot flash by itself; its light stays on`);
        for (const lamp of fixture.lamps) {
          if (hertz > 0 && hertz < (strobeOf(lamp)?.slowest ?? 0))
            notes.add(`${fixture.type.name}: cannot flash as slowly as ${hertz} a second; its light stays on`);
          if (colours.length === 0 || !wearsColour(lamp, fixture)) continue;
          const colour = colours[place++ % colours.length] as Colour;
          const { name } = fixture.type;
          if (part.attributes?.Color1 !== undefined && !mixes(fixture, lamp)) {
            notes.add(`${name}: its colour wheel stands where the look sets it, and not at ${colour.called}`);
            continue;
          }
          if (part.brightness === 'match') {
            if (this.#isGuess(fixture, lamp)) notes.add(GUESSED);
            if (staysBrighter(this.#candela(colour, fixture, lamp), least)) bright.add(name);
          }
          if (this.#isOff(colour, fixture, lamp)) missed.set(colour.called, (missed.get(colour.called) ?? new Set()).add(name));
        }
      }
    }
    for (const [colour, names] of missed) notes.add(`${[...names].join('; ')}: cannot reach ${colour}; the nearest is shown`);
    if (bright.size > 0) notes.add(`${[...bright].join('; ')}: ${STAYS_BRIGHTER}`);
    return [...notes];
  }

  /** Whether a lamp shows something else than the colour that falls to it. */
  #isOff(colour: Colour, fixture: RigFixture, lamp: Lamp): boolean {
    if (takesAway(lamp)) return this.#wheels.inks(colour, fixture).off > SEEN;
    if (mixes(fixture, lamp)) return this.#colours.off(colour, fixture, lamp) > SEEN;
    return lamp.cells.has('Color1') && (this.#wheels.nearest(colour, fixture)?.off ?? 0) > ANOTHER_COLOUR;
  }

  #readPart(part: Part, most: number, named: BitSet): void {
    const values = this.#values;
    const set = (cell: number | undefined, value: number): void => {
      if (cell === undefined) return;
      values[cell] = value;
      add(named, cell);
    };
    const before = valuesOf(part);
    const looking = this.#lookingOf(part);
    const after = directly(part);
    const colours = this.#coloursOf(part);
    let place = 0;
    for (const fixture of this.fixtures(part.who)) {
      const { lamps } = fixture;
      if (colours.length > 0) this.#openWheels(fixture, set);
      const opensParts = part.level !== undefined && lamps[0].cells.has('Dimmer');
      for (const lamp of lamps) {
        for (const [name, value] of before) set(lamp.cells.get(airs(name, lamp) ? 'Fog1' : name), value);
        if (part.aim !== undefined) this.#look(lamp, looking.get(lamp), set);
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
        if (turnsBy(after)) this.#aimed.delete(lamp);
        const at = looking.get(lamp);
        if (turnsBy(after) || (part.aim !== undefined && (at !== undefined || !isInRoom(part.aim))))
          set(lamp.cells.get('AimRests'), restsThere(part, at) ? 1 : 0);
      }
    }
  }

  /** Where those that a part aims at a place of the room look. */
  #lookingOf({ aim, who }: Part): ReadonlyMap<Lamp, Looking> {
    return new Map(aim !== undefined && isInRoom(aim) ? this.looking(who, aim).map((one) => [one.lamp, one]) : []);
  }

  /** By angles, or by the first of the ways there. */
  #look(lamp: Lamp, looking: Looking | undefined, set: (cell: number | undefined, value: number) => void): void {
    this.#aimed.delete(lamp);
    if (looking?.aimed !== undefined) {
      const { head, ways } = looking.aimed;
      set(head.outer.cell, ways[0].outer);
      set(head.inner.cell, ways[0].inner);
      this.#aimed.set(lamp, looking.aimed);
    } else if (looking?.angles !== undefined) {
      set(lamp.cells.get('Pan'), looking.angles.pan);
      set(lamp.cells.get('Tilt'), looking.angles.tilt);
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
    const filter = mixes(fixture, lamp) ? undefined : this.#wheels.nearest(colour, fixture);
    if (filter === undefined) return;
    for (const wheel of colourWheels) {
      const slot = wheel === filter.wheel ? filter.slot : this.#wheels.open(wheel, fixture);
      if (slot > 0) set(lamp.cells.get(wheel), slot);
    }
  }

  /** Lets the light of a fixture pass by the wheels that its colour does not need. */
  #openWheels(fixture: RigFixture, set: (cell: number | undefined, value: number) => void): void {
    for (const wheel of colourWheels) {
      const slot = this.#wheels.open(wheel, fixture);
      if (slot <= 0) continue;
      for (const lamp of fixture.lamps) if (wheel === 'Color2' || mixes(fixture, lamp)) set(lamp.cells.get(wheel), slot);
    }
  }

  #coloursOf({ colour }: Part): readonly Colour[] {
    return [colour ?? []].flat().flatMap((text) => this.#colours.read(text) ?? []);
  }
}

/** What a part sets by name on every lamp that has it. */
function valuesOf(part: Part): readonly (readonly [AttributeName, number])[] {
  const named = fields.flatMap(([field, name]) => {
    const value = part[field];
    return value === undefined ? [] : [[name, value] as const];
  });
  const { aim } = part;
  return aim === undefined || isInRoom(aim) ? named : [...named, ['Pan', aim.pan], ['Tilt', aim.tilt]];
}

/** A beam that does not get to where it was to rest is not meant to rest where it gets to. */
const restsThere = ({ focus }: Part, looking: Looking | undefined): boolean => focus === true && (looking?.off ?? 0) <= MISSED;

const turnsBy = (values: readonly (readonly [AttributeName, number])[]): boolean =>
  values.some(([name]) => name === 'Pan' || name === 'Tilt');

/** To a show haze is what is put into the air: what gives fog alone gives that. */
const airs = (name: AttributeName, { cells }: Lamp): boolean => name === 'Haze1' && !cells.has('Haze1');

const directly = ({ attributes = {} }: Part): readonly (readonly [AttributeName, number])[] =>
  Object.entries(attributes) as [AttributeName, number][];

/** Whether a fixture flashes when it is asked to; what gives no light to be seen by is not missed. */
const flashes = ({ lamps, type, use }: RigFixture): boolean =>
  use === 'haze' ||
  isLaser({ type, use }) ||
  lamps.some(({ cells }) => cells.has('Shutter1Strobe')) ||
  !lamps.some(({ cells }) => cells.has('Dimmer'));

/** A lamp without emitters that has light of its own to be compared: no air, no beam that must not be judged by, no UV alone. */
const isPlainLight = ({ cells }: Lamp, { type, use }: RigFixture): boolean =>
  cells.has('Dimmer') && !isLaser({ type, use }) && use !== 'haze' && !cells.has('ColorAdd_UV');

const mixesColour = (lamp: Lamp): boolean => lamp.emitters.length > 0 || takesAway(lamp);
/** Whether the light of a lamp is mixed: of a part by itself or by its whole, of the whole by any part. */
const mixes = ({ lamps }: RigFixture, lamp: Lamp): boolean =>
  lamp.part === 0 ? lamps.some(mixesColour) : mixesColour(lamp) || mixesColour(lamps[0]);

/** A lamp that mixes a colour, or turns a wheel where nothing mixes; of several parts each, their whole not. */
const wearsColour = (lamp: Lamp, fixture: RigFixture): boolean =>
  mixesColour(lamp) || (!mixes(fixture, lamp) && lamp.cells.has('Color1')) || (lamp.part === 0 && fixture.lamps.length === 1);

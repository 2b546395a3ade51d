import type { Triple } from '../core/vector.ts';
import { type ColourValue, parseColour } from '../light/colour-value.ts';
import type { LampColour, Reach } from '../light/lamp-colour.ts';
import { chromaticityOf } from '../light/of-value.ts';
import { brightnessOf } from '../rig/brightness.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import type { Lamp, RigFixture } from '../rig/rig.ts';
import type { Show } from '../show/document.ts';

/** CIEDE2000 from which on a colour is said not to be what was asked for: seen at a glance, not only side by side. */
export const SEEN = 3;

/** A colour of the document, worked out: its chromaticity; black has none. */
export interface Colour {
  readonly at: readonly [x: number, y: number] | undefined;
  /** It is a screen's, meant beside a white; otherwise it is meant in itself. */
  readonly isBesideWhite: boolean;
  /** What people know it by: as it is written, or its name in the theme. */
  readonly called: string;
}

/** A kind of lamp, and what it makes of the colours that it was asked for. */
interface Kind {
  readonly lamp: LampColour;
  readonly reaches: Map<Colour, Reach>;
}

/** What the lamps of a rig make of a document's colours. Each text is read once, and asked of each kind of lamp once. */
export class Colours {
  readonly #theme: ReadonlyMap<string, string>;
  readonly #names: ReadonlyMap<string, string>;
  readonly #known = new Map<string, Colour>();
  readonly #lampColours = new LampColours();
  readonly #reaches = new Map<LampColour, Map<Colour, Reach>>();
  readonly #kinds = new Map<Lamp, Kind>();

  constructor(theme: Show['theme']) {
    this.#theme = new Map(theme.colours.map(({ id, value }) => [id, value]));
    this.#names = new Map(theme.colours.map(({ id, name }) => [id, `"${name}"`]));
  }

  /** Undefined where the text is no colour. */
  read(text: string): Colour | undefined {
    const known = this.#known.get(text);
    const value = known === undefined ? parseColour(text) : undefined;
    if (value === undefined) return known;
    const { kind } = value.kind === 'theme' ? this.#themeColour(value.id) : value;
    const called = value.kind === 'theme' ? (this.#names.get(value.id) ?? text) : text;
    const colour = { at: chromaticityOf(value, this.#themeColour), isBesideWhite: kind === 'srgb', called };
    this.#known.set(text, colour);
    return colour;
  }

  /** The colour as bright as the lamp can, but no brighter than `most` candela, if that leaves some of it; black is no light at all. For lamps with emitters. */
  worn(colour: Colour, fixture: RigFixture, lamp: Lamp, most: number): Triple {
    const reach = this.#reach(colour, fixture, lamp);
    if (reach === undefined) return BLACK;
    const { oklab } = reach;
    const candela = this.candela(colour, fixture, lamp);
    const share = Math.min(this.#shareOf(colour, fixture, lamp), matchedShare(candela, most));
    if (share >= 1) return oklab;
    // Oklab goes with the cube root of light.
    const scale = Math.cbrt(share);
    return [oklab[0] * scale, oklab[1] * scale, oklab[2] * scale];
  }

  /**
   * How much of its light a part that can mix nothing gives to a colour where other parts of its fixture mix: as much as it would as one more
   * emitter of theirs. So the white line of a strobe is dark while its cells are red.
   */
  #shareOf({ at }: Colour, fixture: RigFixture, lamp: Lamp): number {
    const [only] = lamp.emitters;
    const mixing = isPlain(lamp, fixture) ? fixture.lamps.find(mixesFromEmitters) : undefined;
    if (at === undefined || only === undefined || mixing === undefined) return 1;
    const emitters = [...new Set([...mixing.emitters, only])];
    const together = this.#lampColours.of(fixture, emitters);
    const levels = new Float64Array(emitters.length);
    together.mix(Float64Array.from(together.reach(...at).oklab), 0, levels);
    return levels[emitters.indexOf(only)] as number;
  }

  /** How bright the lamp is at most in the colour, in candela; infinite where there is nothing to ask, or nothing that it gives, or where it only helps parts that mix. */
  candela(colour: Colour, fixture: RigFixture, lamp: Lamp): number {
    const reach = lamp.emitters.length === 0 || isPlain(lamp, fixture) ? undefined : this.#reach(colour, fixture, lamp);
    if (reach === undefined || reach.luminance <= 0) return Number.POSITIVE_INFINITY;
    const { told } = this.#kind(fixture, lamp).lamp;
    return brightnessOf(fixture, lamp, told).candela * (reach.luminance / told);
  }

  /** How far what the lamp gives is from the colour (CIEDE2000), 0 where it can give it, has no emitters or only helps parts that mix. */
  off(colour: Colour, fixture: RigFixture, lamp: Lamp): number {
    return (lamp.emitters.length === 0 || isPlain(lamp, fixture) ? undefined : this.#reach(colour, fixture, lamp))?.off ?? 0;
  }

  /** Whether it is only guessed how bright the lamp is. */
  isGuess(fixture: RigFixture, lamp: Lamp): boolean {
    return brightnessOf(fixture, lamp, this.#kind(fixture, lamp).lamp.told).isGuess;
  }

  #reach(colour: Colour, fixture: RigFixture, lamp: Lamp): Reach | undefined {
    const { at } = colour;
    if (at === undefined) return undefined;
    const kind = this.#kind(fixture, lamp);
    return remembered(kind.reaches, colour, () => kind.lamp.reach(...at));
  }

  #kind(fixture: RigFixture, lamp: Lamp): Kind {
    return remembered(this.#kinds, lamp, () => this.#kindOf(fixture, lamp));
  }

  #kindOf(fixture: RigFixture, { emitters }: Lamp): Kind {
    const lamp = this.#lampColours.of(fixture, emitters);
    return { lamp, reaches: remembered(this.#reaches, lamp, () => new Map<Colour, Reach>()) };
  }

  readonly #themeColour = (id: string): ColourValue => parseColour(this.#theme.get(id) ?? '') ?? { kind: 'kelvin', kelvin: 3000 };
}

export const mixesFromEmitters = ({ emitters }: Lamp): boolean => emitters.length > 1;
/** A part with one emitter beside parts that mix from several. */
const isPlain = ({ emitters }: Lamp, { lamps }: RigFixture): boolean => emitters.length === 1 && lamps.some(mixesFromEmitters);

const BLACK: Triple = [0, 0, 0];
/** No lamp is taken down further than to this share of its light to match weaker ones: what is known of lamps is a guess by kind, more often than not. */
const LEAST_SHARE = 0.1;

/** What share of its light a lamp of so many candela keeps beside others that give `most`; all of it where it is not to be compared. */
export const matchedShare = (candela: number, most: number): number =>
  most >= candela || candela === Number.POSITIVE_INFINITY ? 1 : Math.max(LEAST_SHARE, most / candela);

/** Whether a lamp that is to match others of `most` candela would have to be taken down further than lamps are. */
export const staysBrighter = (candela: number, most: number): boolean =>
  candela !== Number.POSITIVE_INFINITY && most < candela * LEAST_SHARE * (1 - 1e-9);

function remembered<Key, Value>(known: Map<Key, Value>, key: Key, make: () => Value): Value {
  const before = known.get(key);
  if (before !== undefined) return before;
  const value = make();
  known.set(key, value);
  return value;
}

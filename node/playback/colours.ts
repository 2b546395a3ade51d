import { type ColourValue, parseColour } from '../light/colour-value.ts';
import type { LampColour, Reach } from '../light/lamp-colour.ts';
import { chromaticityOf, oklabOf } from '../light/of-value.ts';
import type { Triple } from '../light/oklab.ts';
import type { FixtureType } from '../rig/fixture-type.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import type { Lamp, RigFixture } from '../rig/rig.ts';
import type { Show } from '../show/document.ts';

/** A colour of the document, worked out: its chromaticity (black has none), and how a screen would show it. */
export interface Colour {
  readonly at: readonly [x: number, y: number] | undefined;
  readonly oklab: Triple;
}

/** A kind of lamp, and what it makes of the colours that it was asked for. */
interface Kind {
  readonly lamp: LampColour;
  readonly reaches: Map<Colour, Reach>;
}

/** What the lamps of a rig make of a document's colours. Each text is read once, and asked of each kind of lamp once. */
export class Colours {
  readonly #theme: ReadonlyMap<string, string>;
  readonly #known = new Map<string, Colour>();
  readonly #lampColours = new LampColours();
  readonly #reaches = new Map<LampColour, Map<Colour, Reach>>();
  readonly #kinds = new Map<Lamp, Kind>();
  readonly #slots = new Map<FixtureType, Map<Colour, number>>();

  constructor(theme: Show['theme']) {
    this.#theme = new Map(theme.colours.map(({ id, value }) => [id, value]));
  }

  /** Undefined where the text is no colour. */
  read(text: string): Colour | undefined {
    const known = this.#known.get(text);
    const value = known === undefined ? parseColour(text) : undefined;
    if (value === undefined) return known;
    const colour = { at: chromaticityOf(value, this.#themeColour), oklab: oklabOf(value, this.#themeColour) };
    this.#known.set(text, colour);
    return colour;
  }

  /** The colour as bright as the lamp can, but no brighter than the luminance `most`; black is no light at all. For lamps with emitters. */
  worn(colour: Colour, fixture: RigFixture, lamp: Lamp, most: number): Triple {
    const reach = this.#reach(colour, fixture, lamp);
    if (reach === undefined) return BLACK;
    const { oklab, luminance } = reach;
    if (most >= luminance) return oklab;
    // Oklab goes with the cube root of light.
    const scale = Math.cbrt(most / luminance);
    return [oklab[0] * scale, oklab[1] * scale, oklab[2] * scale];
  }

  /** Most luminance that the lamp can give in the colour; infinite where there is nothing to ask. */
  luminance(colour: Colour, fixture: RigFixture, lamp: Lamp): number {
    const reach = lamp.emitters.length === 0 ? undefined : this.#reach(colour, fixture, lamp);
    return reach?.luminance ?? Number.POSITIVE_INFINITY;
  }

  /** Slot of the colour wheel that comes closest, from 1; 0 where no slot has a colour. */
  slot(wanted: Colour, type: FixtureType): number {
    const wheel = type.wheels.Color1;
    if (wheel === undefined) return 0;
    const known = remembered(this.#slots, type, () => new Map<Colour, number>());
    return remembered(known, wanted, () => this.#nearest(wanted.oklab, wheel));
  }

  #reach(colour: Colour, fixture: RigFixture, lamp: Lamp): Reach | undefined {
    const { at } = colour;
    if (at === undefined) return undefined;
    const kind = remembered(this.#kinds, lamp, () => this.#kindOf(fixture, lamp));
    return remembered(kind.reaches, colour, () => kind.lamp.reach(...at));
  }

  #kindOf(fixture: RigFixture, { emitters }: Lamp): Kind {
    const lamp = this.#lampColours.of(fixture, emitters);
    return { lamp, reaches: remembered(this.#reaches, lamp, () => new Map<Colour, Reach>()) };
  }

  #nearest(wanted: Triple, wheel: readonly { readonly colour?: string | undefined }[]): number {
    let [best, nearest] = [0, Number.POSITIVE_INFINITY];
    for (const [i, { colour: text }] of wheel.entries()) {
      const has = text === undefined ? undefined : this.read(text)?.oklab;
      if (has === undefined) continue;
      const distance = Math.hypot(has[0] - wanted[0], has[1] - wanted[1], has[2] - wanted[2]);
      if (distance < nearest) [best, nearest] = [i + 1, distance];
    }
    return best;
  }

  readonly #themeColour = (id: string): ColourValue => parseColour(this.#theme.get(id) ?? '') ?? { kind: 'kelvin', kelvin: 3000 };
}

const BLACK: Triple = [0, 0, 0];

function remembered<Key, Value>(known: Map<Key, Value>, key: Key, make: () => Value): Value {
  const before = known.get(key);
  if (before !== undefined) return before;
  const value = make();
  known.set(key, value);
  return value;
}

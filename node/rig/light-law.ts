import { type AttributeName, isEmitter } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { clampLevel } from '../core/units.ts';
import type { Triple } from '../core/vector.ts';
import { lightAt } from '../light/lightness.ts';
import { luminanceOf, xyToLinear } from '../light/oklab.ts';
import { planckian } from '../light/temperature.ts';
import { inkNames, takesAway } from './inks.ts';
import type { LampColours } from './lamp-colours.ts';
import {
  add,
  type Dimming,
  dimmerOf,
  Emitters,
  filter,
  type Strobe,
  strobeOf,
  times,
  WHITE,
  type Wheel,
  wheelOf,
} from './light-parts.ts';
import { type Mixtures, mixerOf } from './mixtures.ts';
import type { Lamp, RigFixture } from './rig.ts';

/** What an eye makes of UV at full: a trace of violet, in linear sRGB where white is 1. From memory. */
const UV: Triple = [0.08, 0, 0.25];
/** A source of which nothing else is known is a filament: 2700 K is what its makers call warm white. From memory. */
const FILAMENT = 2700;
/** Numbers that are seen of a lamp: linear red, green and blue, and the hertz of its strobe. */
export const SEEN = 4;

/**
 * How the light of a lamp comes from the cells of its fixture, as an eye sees it: the one place that works this out, the same for every lamp of
 * its kind. Cells count from the first of the fixture.
 * Light is linear sRGB, of any colour (parts of it may be below 0), and relative to the lamp itself: a luminance (IEC 61966-2-1, the Y of
 * CIE XYZ) of 1 is all that it has at full. How strong lamps are beside each other is not known here.
 */
export class LightLaw {
  /** Which part of the fixture it is: 0 is the whole. */
  readonly part: number;
  /** Its share of the fixture's light: lamps that are parts of one count alike. */
  readonly share: number;
  /** What light must be multiplied by for a screen, so that the lamp's own white is the screen's. */
  readonly exposure: number;
  /** Its own cells that its light depends on; and those of the whole before it. */
  readonly cells: Uint32Array;
  readonly gates: Uint32Array;
  readonly #dimmers: readonly Dimming[];
  readonly #shutters: readonly number[];
  readonly #strobes: readonly Strobe[];
  readonly #emitters: Emitters | undefined;
  readonly #white: Triple;
  readonly #uv: { readonly cell: number; readonly most: number; readonly light: Triple } | undefined;
  readonly #wheels: readonly Wheel[];
  /** Cells of filters that take red, green and blue away; -1 where there is none. */
  readonly #filters: readonly number[];
  readonly #light = new Float64Array(3);
  readonly #open = new Float64Array(1);

  constructor(fixture: RigFixture, lamp: Lamp, share: number, colours: LampColours) {
    const [whole] = fixture.lamps;
    const behind = lamp === whole ? [lamp] : [whole, lamp];
    this.part = lamp.part;
    this.share = share;
    this.cells = Uint32Array.from([...lamp.cells].flatMap(([name, cell]) => (isLight(name) ? [cell] : [])));
    this.gates = Uint32Array.from(
      lamp === whole ? [] : gating.flatMap((name) => (name !== 'Dimmer' || whole.hasDimmer ? (whole.cells.get(name) ?? []) : [])),
    );
    this.#dimmers = behind.flatMap((one) => dimmerOf(one, fixture) ?? []);
    this.#shutters = behind.flatMap(({ cells }) => cells.get('Shutter1') ?? []);
    this.#strobes = behind.flatMap((one) => strobeOf(one) ?? []);
    const mixer = mixerOf(lamp, fixture, colours);
    const emitters = mixer === undefined ? undefined : new Emitters(lamp, fixture, mixer);
    const uv = lamp.cells.get('ColorAdd_UV');
    const wheels = (['Color1', 'Color2'] as const).flatMap((name) => wheelOf(name, lamp, fixture.type) ?? []);
    // Filters are told beside white.
    const white =
      wheels.length > 0 || takesAway(lamp) ? WHITE : xyToLinear(...planckian(fixture.type.beam?.temperature ?? FILAMENT));
    const isUvOnly = uv !== undefined && emitters === undefined && !lamp.cells.has('Color1');
    this.exposure = emitters?.exposure ?? luminanceOf(...(isUvOnly ? UV : white));
    this.#emitters = emitters;
    this.#white = emitters !== undefined || isUvOnly ? [0, 0, 0] : times(white, 1 / this.exposure);
    const most = lamp.hasDimmer ? 1 : (fixture.adjust.dim ?? 1);
    this.#uv = uv === undefined ? undefined : { cell: uv, most, light: times(UV, 1 / this.exposure) };
    this.#wheels = wheels;
    this.#filters = inkNames.map((name) => lamp.cells.get(name) ?? -1);
  }

  /**
   * What a frame shows of the lamp.
   * @param first where its fixture begins in the frame
   * @param seen {@link SEEN} numbers, written from `at` on; hertz as fast as its channel can, 0 where it does not strobe
   */
  see(frame: Frame, first: number, mixtures: Mixtures, seen: Float64Array, at: number): void {
    const light = this.#light;
    const open = this.#open;
    light[0] = this.#white[0];
    light[1] = this.#white[1];
    light[2] = this.#white[2];
    this.#emitters?.add(frame, first, mixtures, light);
    if (this.#uv !== undefined)
      add(light, this.#uv.light, clampLevel(lightAt(frame[first + this.#uv.cell] as number) * this.#uv.most));
    for (let i = 0; i < this.#wheels.length; i++) filter(light, (this.#wheels[i] as Wheel).at(frame, first));
    for (let i = 0; i < 3; i++) {
      const cell = this.#filters[i] as number;
      if (cell >= 0) light[i] = (light[i] as number) * (1 - clampLevel(frame[first + cell] as number));
    }
    open[0] = 1;
    for (let i = 0; i < this.#dimmers.length; i++) (this.#dimmers[i] as Dimming).dim(frame, first, open);
    for (let i = 0; i < this.#shutters.length; i++) if ((frame[first + (this.#shutters[i] as number)] as number) <= 0) open[0] = 0;
    for (let i = 0; i < 3; i++) seen[at + i] = (light[i] as number) * open[0];
    seen[at + 3] = 0;
    if (open[0] <= 0) return;
    for (let i = 0; i < this.#strobes.length; i++)
      seen[at + 3] = Math.max(seen[at + 3] as number, (this.#strobes[i] as Strobe).at(frame, first));
  }

  /** Lets its strobes flash so often and no more; one that cannot be so slow stops. @returns whether that changed the frame */
  slow(frame: Frame, first: number, hertz: number): boolean {
    let changed = false;
    for (const strobe of this.#strobes) if (strobe.slow(frame, first, hertz)) changed = true;
    return changed;
  }
}

/** Every lamp of a fixture that gives light. */
export function lightLaws(fixture: RigFixture, colours: LampColours): LightLaw[] {
  const [whole, ...parts] = fixture.lamps;
  // A whole whose parts are lit has what they share, and gives light only where it has emitters besides.
  const lit = parts.filter(givesLight);
  if (whole.emitters.length > 0 || whole.cells.has('ColorAdd_UV') || (lit.length === 0 && givesLight(whole))) lit.unshift(whole);
  return lit.map((lamp) => new LightLaw(fixture, lamp, 1 / lit.length, colours));
}

/** The attributes by which a lamp is lit, more or less, or in which colour. */
const isLight = (name: AttributeName): boolean => isEmitter(name) || lighting.includes(name);
const gating = ['Dimmer', 'Shutter1', 'Shutter1Strobe'] as const;
const lighting: readonly AttributeName[] = [
  ...gating,
  'ColourL',
  'ColourA',
  'ColourB',
  'ColorAdd_UV',
  ...inkNames,
  'Color1',
  'Color2',
];
const givesLight = ({ cells }: Lamp): boolean => [...cells.keys()].some(isLight);

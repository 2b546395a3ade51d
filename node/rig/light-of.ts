import { type AttributeName, isEmitter } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { clampLevel } from '../core/units.ts';
import { parseColour } from '../light/colour-value.ts';
import { againstCurve, alongCurve, type Curve } from '../light/curve.ts';
import type { LampColour } from '../light/lamp-colour.ts';
import { lightAt } from '../light/lightness.ts';
import { luminanceOf, type Triple, toLinear, xyToLinear, xyzToLinear } from '../light/oklab.ts';
import { planckian } from '../light/temperature.ts';
import { NO_PLACE } from './at-rest.ts';
import { stretchesOf } from './channel-law.ts';
import type { ChannelFunction, FixtureType } from './fixture-type.ts';
import { LampColours, type Mixture, mixtureOf } from './lamp-colours.ts';
import { dimmingOf, type Lamp, type Rig, type RigFixture } from './rig.ts';

/** What an eye makes of UV at full: a trace of violet, in linear sRGB where white is 1. From memory. */
const UV: Triple = [0.08, 0, 0.25];
/** A source of which nothing else is known is a filament: 2700 K is what its makers call warm white. From memory. */
const FILAMENT = 2700;
/** White of a screen, CIE 1931 (IEC 61966-2-1). */
const D65 = [0.3127, 0.329] as const;
const WHITE: Triple = [1, 1, 1];

/**
 * The light of one lamp, a whole fixture or a part of it, as an eye sees it: the one place that works this out, from the cells of a frame.
 * Light is linear sRGB, of any colour (parts of it may be below 0), and relative to the lamp itself: a luminance (IEC 61966-2-1, the Y of
 * CIE XYZ) of 1 is all that it has at full. How strong lamps are beside each other is not known here.
 */
export class LampLight {
  /** Place of its fixture in the patch, and which part of it: 0 is the whole. */
  readonly fixture: number;
  readonly part: number;
  /** Its share of the fixture's light: lamps that are parts of one count alike. */
  readonly share: number;
  /** What light must be multiplied by for a screen, so that the lamp's own white is the screen's. */
  readonly exposure: number;
  /** Its own cells that its light depends on; and those of the whole before it. */
  readonly cells: Uint32Array;
  readonly gates: Uint32Array;
  /** What was seen last: red, green, blue. */
  readonly light = new Float64Array(3);
  /** Flashes a second by its strobe, as fast as its channel can; 0 where it does not strobe. */
  hertz = 0;
  readonly #watched: Uint32Array;
  readonly #known: Float64Array;
  readonly #dimmers: readonly Dimming[];
  readonly #shutters: readonly number[];
  readonly #strobes: readonly Strobe[];
  readonly #emitters: Emitters | undefined;
  readonly #white: Triple;
  readonly #uv: { readonly cell: number; readonly most: number; readonly light: Triple } | undefined;
  readonly #wheels: readonly Wheel[];
  /** Cells of filters that take red, green and blue away; -1 where there is none. */
  readonly #filters: readonly number[];

  constructor(fixture: RigFixture, lamp: Lamp, share: number, place: number, colours: LampColours) {
    const [whole] = fixture.lamps;
    const behind = lamp === whole ? [lamp] : [whole, lamp];
    const cellOf = (name: AttributeName): number => lamp.cells.get(name) ?? -1;
    this.fixture = place;
    this.part = lamp.part;
    this.share = share;
    this.cells = Uint32Array.from([...lamp.cells].flatMap(([name, cell]) => (isLight(name) ? [cell] : [])));
    this.gates = Uint32Array.from(
      lamp === whole ? [] : gating.flatMap((name) => (name !== 'Dimmer' || whole.hasDimmer ? (whole.cells.get(name) ?? []) : [])),
    );
    this.#watched = Uint32Array.of(...this.cells, ...this.gates);
    this.#known = new Float64Array(this.#watched.length).fill(Number.NaN);
    this.#dimmers = behind.flatMap((one) => dimmerOf(one, fixture) ?? []);
    this.#shutters = behind.flatMap(({ cells }) => cells.get('Shutter1') ?? []);
    this.#strobes = behind.flatMap((one) => strobeOf(one) ?? []);
    const emitters = lamp.emitters.length === 0 ? undefined : new Emitters(lamp, fixture, colours.of(fixture, lamp.emitters));
    const uv = lamp.cells.get('ColorAdd_UV');
    const wheels = (['Color1', 'Color2'] as const).flatMap((name) => wheelOf(name, lamp, fixture.type) ?? []);
    const white = wheels.length > 0 ? WHITE : xyToLinear(...planckian(fixture.type.beam?.temperature ?? FILAMENT));
    const isUvOnly = uv !== undefined && emitters === undefined && !lamp.cells.has('Color1');
    this.exposure = emitters?.exposure ?? luminanceOf(...(isUvOnly ? UV : white));
    this.#emitters = emitters;
    this.#white = emitters !== undefined || isUvOnly ? [0, 0, 0] : times(white, 1 / this.exposure);
    const most = lamp.hasDimmer ? 1 : (fixture.adjust.dim ?? 1);
    this.#uv = uv === undefined ? undefined : { cell: uv, most, light: times(UV, 1 / this.exposure) };
    this.#wheels = wheels;
    this.#filters = (['ColorSub_C', 'ColorSub_M', 'ColorSub_Y'] as const).map(cellOf);
  }

  /** Looks at a frame. A lamp whose cells have not changed costs but the comparison. @returns whether they have */
  look(frame: Frame): boolean {
    if (!this.#hasChanged(frame)) return false;
    const { light } = this;
    light[0] = this.#white[0];
    light[1] = this.#white[1];
    light[2] = this.#white[2];
    this.#emitters?.add(frame, light);
    if (this.#uv !== undefined) add(light, this.#uv.light, clampLevel(lightAt(frame[this.#uv.cell] as number) * this.#uv.most));
    for (const wheel of this.#wheels) filter(light, wheel.at(frame));
    for (let i = 0; i < 3; i++) {
      const cell = this.#filters[i] as number;
      if (cell >= 0) light[i] = (light[i] as number) * (1 - clampLevel(frame[cell] as number));
    }
    let open = 1;
    for (const dimmer of this.#dimmers) open *= dimmer.at(frame);
    for (const cell of this.#shutters) if ((frame[cell] as number) <= 0) open = 0;
    this.hertz = 0;
    for (const strobe of this.#strobes) this.hertz = Math.max(this.hertz, strobe.at(frame));
    if (open <= 0) this.hertz = 0;
    for (let i = 0; i < 3; i++) light[i] = (light[i] as number) * open;
    return true;
  }

  /** Lets its strobes flash so often and no more; one that cannot be so slow stops. @returns whether that changed the frame */
  slow(frame: Frame, hertz: number): boolean {
    let changed = false;
    for (const strobe of this.#strobes) if (strobe.slow(frame, hertz)) changed = true;
    return changed;
  }

  #hasChanged(frame: Frame): boolean {
    const watched = this.#watched;
    const known = this.#known;
    let changed = false;
    for (let i = 0; i < watched.length; i++) {
      const value = frame[watched[i] as number] as number;
      if (known[i] === value) continue;
      known[i] = value;
      changed = true;
    }
    return changed;
  }
}

/** Every lamp of a rig that gives light, in the order of the patch. */
export function lampLights(rig: Rig): LampLight[] {
  const colours = new LampColours();
  return rig.fixtures.flatMap((fixture, place) => {
    const [whole, ...parts] = fixture.lamps;
    // A whole whose parts are lit has what they share, and gives light only where it has emitters besides.
    const lit = parts.filter(givesLight);
    if (whole.emitters.length > 0 || whole.cells.has('ColorAdd_UV') || (lit.length === 0 && givesLight(whole))) lit.unshift(whole);
    return lit.map((lamp) => new LampLight(fixture, lamp, 1 / lit.length, place, colours));
  });
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
  'ColorSub_C',
  'ColorSub_M',
  'ColorSub_Y',
  'Color1',
  'Color2',
];
const givesLight = ({ cells }: Lamp): boolean => [...cells.keys()].some(isLight);

/** The first job of a lamp with this attribute, and all jobs of its channel. */
function jobOf(
  { channels }: Lamp,
  name: AttributeName,
): { readonly job: ChannelFunction; readonly jobs: readonly ChannelFunction[]; readonly isFirst: boolean } | undefined {
  for (const { functions: jobs, initial = 0 } of channels) {
    const job = jobs.find(({ attribute }) => attribute === name);
    if (job !== undefined) return { job, jobs, isFirst: jobs[initial] === job };
  }
  return undefined;
}

/** A dimmer channel: how much light it lets through. */
class Dimming {
  readonly #cell: number;
  readonly #most: number;
  readonly #dimming: Curve;
  readonly #curve: Curve;
  readonly #lowest: number;
  readonly #span: number;
  /** At 0 another job has the channel, and the lamp is dark. */
  readonly #yields: boolean;
  /** Cell of a strobe that has the channel instead of it while it strobes, with all its light. */
  readonly #instead: number;

  constructor(cell: number, job: ChannelFunction, isFirst: boolean, most: number, dimming: Curve, instead: number) {
    const [lowest, highest] = job.physical;
    this.#cell = cell;
    this.#most = most;
    this.#dimming = dimming;
    this.#curve = job.curve;
    this.#lowest = lowest;
    this.#span = highest - lowest;
    this.#yields = !isFirst;
    this.#instead = instead;
  }

  at(frame: Frame): number {
    const value = frame[this.#cell] as number;
    if (this.#yields && value <= 0) return 0;
    if (this.#instead >= 0 && (frame[this.#instead] as number) > 0) return value <= 0 ? 0 : 1;
    const asked = againstCurve(this.#dimming, clampLevel(lightAt(value) * this.#most));
    const share = this.#span === 0 ? 0 : clampLevel((asked - this.#lowest) / this.#span);
    const given = this.#lowest + this.#span * alongCurve(this.#curve, againstCurve(this.#curve, share));
    return alongCurve(this.#dimming, clampLevel(given));
  }
}

function dimmerOf(lamp: Lamp, fixture: RigFixture): Dimming | undefined {
  const {
    adjust,
    lamps: [whole],
  } = fixture;
  const found = jobOf(lamp, 'Dimmer');
  if (found === undefined) return undefined;
  const most = lamp === whole || !whole.hasDimmer ? (adjust.dim ?? 1) : 1;
  const strobes = found.jobs.some(({ attribute }) => attribute === 'Shutter1Strobe') ? lamp.cells.get('Shutter1Strobe') : undefined;
  const cell = lamp.cells.get('Dimmer') as number;
  return new Dimming(cell, found.job, found.isFirst, most, dimmingOf(fixture), strobes ?? -1);
}

/** A strobe channel: how fast it flashes. */
class Strobe {
  readonly #cell: number;
  readonly #slowest: number;
  readonly #fastest: number;

  constructor(cell: number, slowest: number, fastest: number) {
    this.#cell = cell;
    this.#slowest = slowest;
    this.#fastest = fastest;
  }

  at(frame: Frame): number {
    const hertz = frame[this.#cell] as number;
    return hertz <= 0 ? 0 : Math.min(this.#fastest, Math.max(this.#slowest, hertz));
  }

  slow(frame: Frame, hertz: number): boolean {
    if (this.at(frame) <= hertz) return false;
    frame[this.#cell] = this.#slowest <= hertz ? hertz : 0;
    return true;
  }
}

function strobeOf(lamp: Lamp): Strobe | undefined {
  const physical = jobOf(lamp, 'Shutter1Strobe')?.job.physical;
  if (physical === undefined) return undefined;
  return new Strobe(lamp.cells.get('Shutter1Strobe') as number, Math.min(...physical), Math.max(...physical));
}

/** The emitters of a lamp: its colour as they mix it, but for those that are driven directly. */
class Emitters {
  readonly exposure: number;
  readonly #mixture: Mixture;
  readonly #direct: Uint32Array;
  /** Linear sRGB of each at full. */
  readonly #lights: readonly Triple[];
  /** Cell by which they are dimmed, or -1 where the lamp has a dimmer channel. */
  readonly #dimmer: number;
  readonly #most: number;

  constructor(lamp: Lamp, { adjust }: RigFixture, colours: LampColour) {
    this.#mixture = mixtureOf(lamp, colours);
    this.#direct = Uint32Array.from(lamp.emitters, (name) => lamp.cells.get(name) as number);
    this.#lights = lamp.emitters.map((_, i) => xyzToLinear(colours.light(lamp.emitters.map((_one, k) => (k === i ? 1 : 0)))));
    this.#dimmer = lamp.hasDimmer ? -1 : (lamp.cells.get('Dimmer') as number);
    this.#most = adjust.dim ?? 1;
    const white = colours.reach(...D65).luminance;
    this.exposure = white > 0 ? colours.full / white : 1;
  }

  add(frame: Frame, light: Float64Array): void {
    const levels = this.#mixture.at(frame);
    const scale = this.#dimmer < 0 ? 1 : lightAt(frame[this.#dimmer] as number) * this.#most;
    for (let i = 0; i < levels.length; i++) {
      const driven = frame[this.#direct[i] as number] as number;
      add(light, this.#lights[i] as Triple, clampLevel(driven >= 0 ? driven : (levels[i] as number) * scale));
    }
  }
}

/** A colour wheel: what its places let through. */
class Wheel {
  readonly #cell: number;
  readonly #places: readonly number[];
  readonly #slots: readonly Triple[];

  constructor(cell: number, places: readonly number[], slots: readonly Triple[]) {
    this.#cell = cell;
    this.#places = places;
    this.#slots = slots;
  }

  /** Of a place that it cannot turn to the nearest is in, as its channel has it. */
  at(frame: Frame): Triple {
    const wanted = frame[this.#cell] as number;
    if (wanted === NO_PLACE) return WHITE;
    let place = this.#places[0] as number;
    for (const one of this.#places) if (Math.abs(one - wanted) < Math.abs(place - wanted)) place = one;
    return this.#slots[place - 1] ?? WHITE;
  }
}

function wheelOf(name: 'Color1' | 'Color2', lamp: Lamp, { wheels }: FixtureType): Wheel | undefined {
  const found = jobOf(lamp, name);
  if (found === undefined) return undefined;
  const slots = (wheels[name] ?? []).map(({ colour }): Triple => {
    const value = colour === undefined ? undefined : parseColour(colour);
    return value?.kind === 'srgb' ? [toLinear(value.red), toLinear(value.green), toLinear(value.blue)] : WHITE;
  });
  const places = (stretchesOf(found.job) ?? []).map(({ slot }) => slot);
  return new Wheel(lamp.cells.get(name) as number, places, slots);
}

const times = ([r, g, b]: Triple, k: number): Triple => [r * k, g * k, b * k];

function add(light: Float64Array, other: Triple, level: number): void {
  for (let i = 0; i < 3; i++) light[i] = (light[i] as number) + (other[i] as number) * level;
}

function filter(light: Float64Array, by: Triple): void {
  for (let i = 0; i < 3; i++) light[i] = (light[i] as number) * (by[i] as number);
}

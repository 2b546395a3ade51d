import type { AttributeName } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { clampLevel } from '../core/units.ts';
import type { Triple } from '../core/vector.ts';
import { parseColour } from '../light/colour-value.ts';
import { againstCurve, alongCurve, type Curve } from '../light/curve.ts';
import { lightAt } from '../light/lightness.ts';
import { luminanceOf, toLinear, xyzToLinear } from '../light/oklab.ts';
import { NO_PLACE } from './at-rest.ts';
import { stretchesOf } from './channel-law.ts';
import { type ChannelFunction, curveOf, type FixtureType } from './fixture-type.ts';
import type { Mixer, Mixtures } from './mixtures.ts';
import { dimmingOf, type Lamp, type RigFixture } from './rig.ts';

/*
 * What the light of a lamp comes from, and what it passes on its way out. Cells count from the first of the fixture, and `first` is where in
 * the frame that lies. Numbers with a fraction go by arrays: handed over by themselves they may be put on the heap.
 */

/** White of a screen, CIE 1931 (IEC 61966-2-1). */
const D65 = [0.3127, 0.329] as const;
export const WHITE: Triple = [1, 1, 1];

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
export class Dimming {
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

  constructor(cell: number, job: ChannelFunction, curve: Curve, isFirst: boolean, most: number, dimming: Curve, instead: number) {
    const [lowest, highest] = job.physical;
    this.#cell = cell;
    this.#most = most;
    this.#dimming = dimming;
    this.#curve = curve;
    this.#lowest = lowest;
    this.#span = highest - lowest;
    this.#yields = !isFirst;
    this.#instead = instead;
  }

  /** Takes down how far a lamp is `open`, the only number of it. */
  dim(frame: Frame, first: number, open: Float64Array): void {
    const value = frame[first + this.#cell] as number;
    if (this.#yields && value <= 0) open[0] = 0;
    else if (this.#instead < 0 || (frame[first + this.#instead] as number) <= 0) open[0] = (open[0] as number) * this.#at(value);
    else if (value <= 0) open[0] = 0;
  }

  #at(level: number): number {
    const asked = againstCurve(this.#dimming, clampLevel(lightAt(level) * this.#most));
    const share = this.#span === 0 ? 0 : clampLevel((asked - this.#lowest) / this.#span);
    const given = this.#lowest + this.#span * alongCurve(this.#curve, againstCurve(this.#curve, share));
    return alongCurve(this.#dimming, clampLevel(given));
  }
}

export function dimmerOf(lamp: Lamp, fixture: RigFixture): Dimming | undefined {
  const {
    adjust,
    lamps: [whole],
  } = fixture;
  const found = jobOf(lamp, 'Dimmer');
  if (found === undefined) return undefined;
  const most = lamp === whole || !whole.hasDimmer ? (adjust.dim ?? 1) : 1;
  const strobes = found.jobs.some(({ attribute }) => attribute === 'Shutter1Strobe') ? lamp.cells.get('Shutter1Strobe') : undefined;
  const cell = lamp.cells.get('Dimmer') as number;
  return new Dimming(
    cell,
    found.job,
    curveOf(found.job, fixture.type.curves),
    found.isFirst,
    most,
    dimmingOf(fixture),
    strobes ?? -1,
  );
}

/** A strobe channel: how fast it flashes. */
export class Strobe {
  readonly #cell: number;
  readonly slowest: number;
  readonly #fastest: number;

  constructor(cell: number, slowest: number, fastest: number) {
    this.#cell = cell;
    this.slowest = slowest;
    this.#fastest = fastest;
  }

  at(frame: Frame, first: number): number {
    const hertz = frame[first + this.#cell] as number;
    return hertz <= 0 ? 0 : Math.min(this.#fastest, Math.max(this.slowest, hertz));
  }

  slow(frame: Frame, first: number, hertz: number): boolean {
    if (this.at(frame, first) <= hertz) return false;
    frame[first + this.#cell] = this.slowest <= hertz ? hertz : 0;
    return true;
  }
}

export function strobeOf(lamp: Lamp): Strobe | undefined {
  const physical = jobOf(lamp, 'Shutter1Strobe')?.job.physical;
  if (physical === undefined) return undefined;
  return new Strobe(lamp.cells.get('Shutter1Strobe') as number, Math.min(...physical), Math.max(...physical));
}

/** The emitters of a lamp: its colour as they mix it, but for those that are driven directly. */
export class Emitters {
  readonly exposure: number;
  readonly #mixer: Mixer;
  readonly #levels: Float64Array;
  /** Linear sRGB of each at full. */
  readonly #lights: readonly Triple[];
  /** Cell by which they are dimmed, or -1 where the lamp has a dimmer channel. */
  readonly #dimmer: number;
  readonly #most: number;

  constructor(lamp: Lamp, { adjust }: RigFixture, mixer: Mixer) {
    const { colours } = mixer;
    this.#mixer = mixer;
    this.#levels = new Float64Array(lamp.emitters.length);
    this.#lights = lamp.emitters.map((_, i) => xyzToLinear(colours.light(lamp.emitters.map((_one, k) => (k === i ? 1 : 0)))));
    this.#dimmer = lamp.hasDimmer ? -1 : (lamp.cells.get('Dimmer') as number);
    this.#most = adjust.dim ?? 1;
    const white = colours.reach(...D65).luminance;
    this.exposure = white > 0 ? colours.full / white : 1;
  }

  add(frame: Frame, first: number, mixtures: Mixtures, light: Float64Array): void {
    const levels = this.#levels;
    const { emitters } = this.#mixer;
    mixtures.mix(this.#mixer, frame, first, levels);
    const scale = this.#dimmer < 0 ? 1 : lightAt(frame[first + this.#dimmer] as number) * this.#most;
    for (let i = 0; i < levels.length; i++) {
      const driven = frame[first + (emitters[i] as number)] as number;
      add(light, this.#lights[i] as Triple, clampLevel(driven >= 0 ? driven : (levels[i] as number) * scale));
    }
  }
}

/** A colour wheel: what its places let through. */
export class Wheel {
  readonly #cell: number;
  readonly #places: readonly number[];
  readonly #slots: readonly Triple[];

  constructor(cell: number, places: readonly number[], slots: readonly Triple[]) {
    this.#cell = cell;
    this.#places = places;
    this.#slots = slots;
  }

  /** Of a place that it cannot turn to the nearest is in, as its channel has it. */
  at(frame: Frame, first: number): Triple {
    const wanted = frame[first + this.#cell] as number;
    if (wanted === NO_PLACE) return WHITE;
    let place = this.#places[0] as number;
    for (const one of this.#places) if (Math.abs(one - wanted) < Math.abs(place - wanted)) place = one;
    return this.#slots[place - 1] ?? WHITE;
  }
}

export function wheelOf(name: 'Color1' | 'Color2', lamp: Lamp, { wheels }: FixtureType): Wheel | undefined {
  const found = jobOf(lamp, name);
  if (found === undefined) return undefined;
  const slots = (wheels[name] ?? []).map(lightThrough);
  const places = (stretchesOf(found.job) ?? []).map(({ slot }) => slot);
  return new Wheel(lamp.cells.get(name) as number, places, slots);
}

/** What a filter lets through of a white, in linear sRGB; all of it where nothing is known. */
export function lightThrough({
  colour,
  light,
}: {
  readonly colour?: string | undefined;
  readonly light?: number | undefined;
} = {}): Triple {
  const value = colour === undefined ? undefined : parseColour(colour);
  if (value?.kind !== 'srgb') return WHITE;
  const through: Triple = [toLinear(value.red), toLinear(value.green), toLinear(value.blue)];
  const usual = luminanceOf(...through);
  return light === undefined || usual <= 0 ? through : times(through, light / usual);
}

export const times = ([r, g, b]: Triple, k: number): Triple => [r * k, g * k, b * k];

export function add(light: Float64Array, other: Triple, level: number): void {
  for (let i = 0; i < 3; i++) light[i] = (light[i] as number) + (other[i] as number) * level;
}

export function filter(light: Float64Array, by: Triple): void {
  for (let i = 0; i < 3; i++) light[i] = (light[i] as number) * (by[i] as number);
}

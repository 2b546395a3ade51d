import { isEmitter } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { lightAt } from '../light/lightness.ts';
import type { LampColours } from '../rig/lamp-colours.ts';
import { type Mixer, type Mixtures, mixerOf } from '../rig/mixtures.ts';
import { dimmingOf, type Lamp, type RigFixture } from '../rig/rig.ts';

/** The emitters of one lamp and what they are to give; cells count from the first of its fixture. */
export interface Mixing {
  /** Undefined for a lamp that mixes no colours. */
  readonly mixer: Mixer | undefined;
  readonly mixed: Float64Array;
  /** Cell by which emitters are scaled, or -1 where the lamp has a dimmer channel of its own. */
  readonly dimmer: number;
  /** Share of its light at full. */
  readonly most: number;
  /** Light of one step of its emitters' channels; 0 where that depends on the step. */
  readonly step: number;
}

export function mixingOf(lamp: Lamp, fixture: RigFixture, colours: LampColours): Mixing {
  return {
    mixer: mixerOf(lamp, fixture, colours),
    mixed: new Float64Array(lamp.emitters.length),
    dimmer: lamp.hasDimmer ? -1 : (lamp.cells.get('Dimmer') ?? -1),
    most: fixture.adjust.dim ?? 1,
    step: stepOf(lamp, fixture),
  };
}

/** Of the coarsest of the emitters, where light goes with their values. */
function stepOf(lamp: Lamp, fixture: RigFixture): number {
  const jobs = lamp.channels.flatMap(({ functions }) => functions.filter((one) => isEmitter(one.attribute)));
  const isLinear = lamp.hasDimmer || dimmingOf(fixture) === 'linear';
  if (!isLinear || jobs.some(({ curve }) => curve !== 'linear')) return 0;
  return Math.max(0, ...jobs.map(({ from, to }) => 1 / Math.max(1, to - from)));
}

/**
 * The lamp's emitters in its colour, if it has any, but for those that are driven directly; `first` is where its fixture begins in the frame.
 * Arrays go from hand to hand: a number would be boxed.
 */
export function mixInto(lamp: Mixing, mixtures: Mixtures, frame: Frame, first: number): void {
  const { mixed, mixer } = lamp;
  if (mixer === undefined) return;
  const { colours, emitters } = mixer;
  mixtures.mix(mixer, frame, first, mixed);
  if (lamp.dimmer >= 0) dim(lamp, frame, first);
  if (lamp.step > 0) colours.settle(mixed, lamp.step);
  for (let i = 0; i < mixed.length; i++) {
    const driven = frame[first + (emitters[i] as number)] as number;
    if (driven >= 0) mixed[i] = driven;
  }
}

/** Takes the emitters of a lamp down that has no dimmer channel. */
function dim({ dimmer, most, mixed }: Mixing, frame: Frame, first: number): void {
  const scale = lightAt(frame[first + dimmer] as number) * most;
  for (let i = 0; i < mixed.length; i++) mixed[i] = (mixed[i] as number) * scale;
}

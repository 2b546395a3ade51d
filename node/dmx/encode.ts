import type { Frame } from '../core/frame.ts';
import type { Levels } from '../core/levels.ts';
import { finish, type Steps } from '../core/steps.ts';
import type { Universe } from '../core/units.ts';
import type { LampColour } from '../light/lamp-colour.ts';
import { lightAt } from '../light/lightness.ts';
import type { Channel } from '../rig/fixture-type.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import type { Lamp, Rig, RigFixture } from '../rig/rig.ts';
import { askedOf, channelValue, type Job, jobFrom, placesOf } from './job.ts';

interface Writer {
  readonly slots: Uint8Array;
  /** Places of its bytes in the universe, the highest first. */
  readonly places: readonly number[];
  readonly jobs: readonly Job[];
}

interface LampWriter {
  readonly writers: readonly Writer[];
  /** Undefined for a lamp that mixes no colours. */
  readonly colours: LampColour | undefined;
  readonly mixed: Float64Array;
  /** Cells by which the emitters can be driven directly. */
  readonly direct: Uint32Array;
  readonly colour: number;
  /** Cell by which emitters are scaled, or -1 where the lamp has a dimmer channel of its own. */
  readonly dimmer: number;
  /** Share of its light at full. */
  readonly most: number;
  /** Light of one step of its emitters' channels; 0 where that depends on the step. */
  readonly step: number;
}

/** A slot, from 1, that somebody drives to a value, 0..255. */
export interface DrivenSlot {
  readonly universe: Universe;
  readonly slot: number;
  readonly value: number;
}

/** Turns attribute frames into DMX slots, as the patch places them. Everything that can be looked up beforehand is. */
export class Encoder {
  readonly #lamps: readonly LampWriter[];
  readonly #levels: Levels;
  #driven: readonly DrivenSlot[] = [];

  private constructor(lamps: readonly LampWriter[], levels: Levels) {
    this.#lamps = lamps;
    this.#levels = levels;
  }

  static for(rig: Rig, levels: Levels): Encoder {
    return finish(Encoder.making(rig, levels));
  }

  /** {@link Encoder.for} in steps. */
  static *making(rig: Rig, levels: Levels): Steps<Encoder> {
    const colours = new LampColours();
    const lamps: LampWriter[] = [];
    for (const fixture of rig.fixtures) {
      for (const lamp of fixture.lamps) lamps.push(writerOf(lamp, fixture, levels, colours));
      yield;
    }
    return new Encoder(lamps, levels);
  }

  /** `exact` stands over what the frame says, slot by slot. */
  encode(frame: Frame, exact: readonly DrivenSlot[] = []): void {
    // A slot that no lamp owns has nobody else to bring it back.
    this.#drive(this.#driven, true);
    for (const lamp of this.#lamps) {
      if (lamp.colours !== undefined) mixInto(lamp, lamp.colours, frame);
      for (const writer of lamp.writers) write(writer, frame, lamp.mixed);
    }
    this.#drive(exact, false);
    this.#driven = exact;
    this.#levels.publish();
  }

  #drive(slots: readonly DrivenSlot[], toNothing: boolean): void {
    for (const { universe, slot, value } of slots) {
      if (this.#levels.has(universe)) this.#levels.slots(universe)[slot - 1] = toNothing ? 0 : value;
    }
  }
}

/** The lamp's emitters in its colour, but for those that are driven directly. Arrays go from hand to hand: a number would be boxed. */
function mixInto(lamp: LampWriter, colours: LampColour, frame: Frame): void {
  const { mixed, direct } = lamp;
  colours.mix(frame, lamp.colour, mixed);
  if (lamp.dimmer >= 0) dim(lamp, frame);
  if (lamp.step > 0) colours.settle(mixed, lamp.step);
  for (let i = 0; i < mixed.length; i++) {
    const driven = frame[direct[i] as number] as number;
    if (driven >= 0) mixed[i] = driven;
  }
}

/** Takes the emitters of a lamp down that has no dimmer channel. */
function dim({ dimmer, most, mixed }: LampWriter, frame: Frame): void {
  const scale = lightAt(frame[dimmer] as number) * most;
  for (let i = 0; i < mixed.length; i++) mixed[i] = (mixed[i] as number) * scale;
}

function write({ slots, places, jobs }: Writer, frame: Frame, mixed: Float64Array): void {
  const job = jobOf(jobs, frame, slots);
  let rest = Math.round(channelValue(job, askedOf(job, frame, mixed)));
  for (let i = places.length - 1; i >= 0; i--) {
    slots[places[i] as number] = rest & 0xff;
    rest >>>= 8;
  }
}

/**
 * The last job whose attribute is away from rest has the channel, one whose range holds the value before one that must cut it; a strobe only
 * where the channel's own light is not closed. Otherwise the first.
 */
function jobOf(jobs: readonly Job[], frame: Frame, slots: Uint8Array): Job {
  let cutting: Job | undefined;
  for (let i = jobs.length - 1; i >= 0; i--) {
    const job = jobs[i] as Job;
    if (job.cell < 0) continue;
    const value = frame[job.cell] as number;
    if (value === job.rest || (job.flashes && isClosed(jobs, frame)) || !isPermitted(job, slots)) continue;
    if (holds(job, value)) return job;
    cutting ??= job;
  }
  return cutting ?? (jobs[0] as Job);
}

const holds = ({ lowest, span }: Job, value: number): boolean =>
  value >= Math.min(lowest, lowest + span) && value <= Math.max(lowest, lowest + span);

function isPermitted({ when }: Job, slots: Uint8Array): boolean {
  if (when === undefined) return true;
  let value = 0;
  for (const place of when.places) value = value * 256 + (slots[place] as number);
  return value >= when.from && value <= when.to;
}

function isClosed(jobs: readonly Job[], frame: Frame): boolean {
  for (const { closes, cell } of jobs) if (closes && (frame[cell] as number) <= 0) return true;
  return false;
}

function writerOf(lamp: Lamp, fixture: RigFixture, levels: Levels, colours: LampColours): LampWriter {
  const slots = levels.slots(fixture.universe);
  const at = new Map(fixture.mode.channels.map((channel) => [channel.slot, placesOf(channel, fixture)]));
  // What depends on another channel is written after it.
  const writers = [...lamp.channels]
    .sort((a, b) => depends(a) - depends(b))
    .map((channel) => ({
      slots,
      places: placesOf(channel, fixture),
      jobs: channel.functions.map((one) => jobFrom(one, lamp, fixture, at)),
    }));
  return {
    colours: lamp.emitters.length > 0 ? colours.of(fixture, lamp.emitters) : undefined,
    mixed: new Float64Array(lamp.emitters.length),
    direct: Uint32Array.from(lamp.emitters, (name) => lamp.cells.get(name) as number),
    colour: lamp.cells.get('ColourL') ?? -1,
    dimmer: lamp.hasDimmer ? -1 : (lamp.cells.get('Dimmer') ?? -1),
    most: fixture.adjust.dim ?? 1,
    step: stepOf(writers),
    writers,
  };
}

/** Of the coarsest of the emitters, where light goes with their values. */
function stepOf(writers: readonly Writer[]): number {
  const jobs = writers.flatMap((writer) => writer.jobs.filter(({ emitter }) => emitter >= 0));
  if (jobs.some(({ curve, dimming }) => curve !== 'linear' || dimming !== 'linear')) return 0;
  return Math.max(0, ...jobs.map(({ first, last }) => 1 / Math.max(1, last - first)));
}

const depends = ({ functions }: Channel): number => (functions.some(({ when }) => when !== undefined) ? 1 : 0);

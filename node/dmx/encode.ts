import { attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Levels } from '../core/levels.ts';
import { finish, type Steps } from '../core/steps.ts';
import type { Universe } from '../core/units.ts';
import type { Channel, ChannelFunction } from '../rig/fixture-type.ts';
import { firstCellOf, Kinds } from '../rig/kinds.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import { isDriven } from '../rig/laser.ts';
import { type Mixtures, mixturesOf } from '../rig/mixtures.ts';
import { type Lamp, type Rig, type RigFixture, startOf, stretchesOf } from '../rig/rig.ts';
import { type Choosing, Deciding } from './decide.ts';
import { channelPlaces, holds, type Job, jobFrom, placesOf, toChannelValue } from './job.ts';
import { type Mixing, mixInto, mixingOf } from './mix.ts';

/** How fixtures of a kind are written, one after the other. */
interface Writer {
  /** What the frame says of the fixture that is being written. */
  readonly cells: Frame;
  readonly lamps: readonly Mixing[];
  readonly deciding: Deciding;
  /** Bytes of each channel. */
  readonly sizes: Uint8Array;
}

/** All fixtures that are written, one behind the other in memory. */
interface Written {
  readonly writers: readonly Writer[];
  /** Of each fixture {@link ROW} numbers: its place among the writers, where its cells begin in the frame, and where in `places` its bytes. */
  readonly rows: Uint32Array;
  /** Where among all slots the bytes go, channel by channel, the highest byte first. */
  readonly places: Uint32Array;
}

const ROW = 3;

/** A slot, from 1, that somebody drives to a value, 0..255. */
export interface DrivenSlot {
  readonly universe: Universe;
  readonly slot: number;
  readonly value: number;
}

/** Turns attribute frames into DMX slots, as the patch places them. Everything that can be looked up beforehand is. */
export class Encoder {
  readonly #fixtures: Written;
  readonly #levels: Levels;
  readonly #mixtures: Mixtures;
  /** Laid out as a frame: what was in it when slots were written last. */
  readonly #written: Frame;
  /** Slots of what must not be driven, by hand neither. */
  readonly #barred: ReadonlySet<string>;
  #driven: readonly DrivenSlot[] = [];

  private constructor(fixtures: Written, levels: Levels, rig: Rig) {
    this.#fixtures = fixtures;
    this.#levels = levels;
    this.#mixtures = mixturesOf(rig);
    this.#written = new Float64Array(rig.rest.length).fill(Number.NaN);
    this.#barred = barredIn(rig);
  }

  static for(rig: Rig, levels: Levels): Encoder {
    return finish(Encoder.making(rig, levels));
  }

  /** {@link Encoder.for} in steps. */
  static *making(rig: Rig, levels: Levels): Steps<Encoder> {
    const colours = new LampColours();
    const kinds = new Kinds();
    const known = new Map<Rig, number>();
    const writers: Writer[] = [];
    const rows: number[] = [];
    const places: number[] = [];
    for (const fixture of rig.fixtures.filter(isDriven)) {
      const alone = kinds.of(fixture);
      const number = known.get(alone) ?? writers.push(writerOf(alone, colours)) - 1;
      known.set(alone, number);
      rows.push(number, firstCellOf(fixture), places.length);
      places.push(...bytesOf(fixture, levels));
      yield;
    }
    return new Encoder({ writers, rows: Uint32Array.from(rows), places: Uint32Array.from(places) }, levels, rig);
  }

  /** `exact` stands over what the frame says, slot by slot. */
  encode(frame: Frame, exact: readonly DrivenSlot[] = []): void {
    // A slot that no lamp owns has nobody else to bring it back.
    this.#drive(this.#driven, true);
    const all = this.#driven.length > 0;
    const { writers, rows } = this.#fixtures;
    for (let i = 0; i < rows.length; i += ROW) {
      const writer = writers[rows[i] as number] as Writer;
      const first = rows[i + 1] as number;
      if (this.#differs(first, writer.cells.length, frame) || all) this.#write(writer, first, rows[i + 2] as number, frame);
    }
    this.#drive(exact, false);
    this.#driven = exact;
    this.#levels.publish();
  }

  /** Whether the frame says something else of a fixture than when this was asked last. */
  #differs(first: number, count: number, frame: Frame): boolean {
    const written = this.#written;
    let is = false;
    for (let i = first; i < first + count; i++) {
      if (written[i] === frame[i]) continue;
      written[i] = frame[i] as number;
      is = true;
    }
    return is;
  }

  #write({ cells, lamps, deciding, sizes }: Writer, first: number, begin: number, frame: Frame): void {
    const { whole } = this.#levels;
    const { places } = this.#fixtures;
    for (let i = 0; i < cells.length; i++) cells[i] = frame[first + i] as number;
    for (let i = 0; i < lamps.length; i++) mixInto(lamps[i] as Mixing, this.#mixtures, frame, first);
    deciding.decide(cells);
    let end = begin;
    for (let channel = 0; channel < sizes.length; channel++) {
      const from = end;
      end += sizes[channel] as number;
      let rest = deciding.values[channel] as number;
      for (let i = end - 1; i >= from; i--) {
        whole[places[i] as number] = rest & 0xff;
        rest >>>= 8;
      }
    }
  }

  #drive(slots: readonly DrivenSlot[], toNothing: boolean): void {
    for (const { universe, slot, value } of slots) {
      if (!this.#levels.has(universe) || (this.#barred.size > 0 && this.#barred.has(`${universe} ${slot}`))) continue;
      this.#levels.slots(universe)[slot - 1] = toNothing ? 0 : value;
    }
  }
}

const barredIn = ({ fixtures }: Rig): ReadonlySet<string> =>
  new Set(
    fixtures
      .filter((fixture) => !isDriven(fixture))
      .flatMap(stretchesOf)
      .flatMap(({ universe, address, size }) => Array.from({ length: size }, (_, i) => `${universe} ${address + i}`)),
  );

function writerOf({ fixtures: [alone], rest }: Rig, colours: LampColours): Writer {
  const fixture = alone as RigFixture;
  const { mode, lamps } = fixture;
  const mixings = lamps.map((lamp) => mixingOf(lamp, fixture, colours));
  const places = channelPlaces(mode);
  const lampOf = new Map(lamps.flatMap((lamp, i) => lamp.channels.map((channel) => [channel, i] as const)));
  return {
    cells: Float64Array.from(rest),
    lamps: mixings,
    deciding: new Deciding(
      mode.channels.map((channel) => {
        const own = lampOf.get(channel) as number;
        const { mixed } = mixings[own] as Mixing;
        return choosingOf(channel, lamps[own] as Lamp, mixed, (one, lamp) => jobFrom(one, lamp, fixture, rest, places));
      }),
    ),
    sizes: Uint8Array.from(mode.channels, (channel) => placesOf(channel, fixture).length),
  };
}

const bytesOf = (fixture: RigFixture, levels: Levels): number[] =>
  fixture.mode.channels.flatMap((channel) => {
    const from = levels.from(startOf(fixture, channel.break)?.universe ?? fixture.universe);
    return placesOf(channel, fixture).map((place) => from + place);
  });

function choosingOf(channel: Channel, lamp: Lamp, mixed: Float64Array, jobOf: (one: ChannelFunction, lamp: Lamp) => Job): Choosing {
  const inOrder = channel.functions.map((one) => jobOf(one, lamp));
  const initial = inOrder[channel.initial ?? 0];
  // The last one that is asked has the channel: light that is asked for as well must not stop a strobe.
  const jobs = [...inOrder.filter(({ flashes }) => !flashes), ...inOrder.filter(({ flashes }) => flashes)];
  const emitter = jobs.find((one) => one.emitter >= 0);
  const follows =
    emitter ??
    axisAmong(channel, lamp, inOrder) ??
    (channel.default === undefined || followsAtRest(channel, initial) ? initial : undefined);
  const light = jobs.find(({ closes, rest }) => closes && rest <= 0);
  if (light !== undefined && follows?.closes === true && follows.rest > 0) {
    // A shutter rests open: beside a light in the same channel that would be all of it.
    const base = holds(light, 0) ? light : undefined;
    return { jobs, base, standing: holds(follows, 0) ? channelValue(follows, 0) : channelValue(light, 0), only: undefined, mixed };
  }
  // An emitter that may not work must not light a lamp that only its emitters dim.
  const standing =
    emitter !== undefined && !lamp.hasDimmer ? 0 : (channel.default ?? (initial === undefined ? 0 : restValue(initial)));
  const only = jobs.length === 1 && follows === jobs[0] ? follows : undefined;
  return { jobs, base: follows, standing, only, mixed };
}

/** Where a head looks, in a channel by which it can turn without end too: to be aimed at its rest is to be aimed. */
function axisAmong({ functions }: Channel, { cells }: Lamp, jobs: readonly Job[]): Job | undefined {
  if (!cells.has('AimRests')) return undefined;
  return jobs.find((_, i) => {
    const { attribute: name, when } = functions[i] as ChannelFunction;
    return (name === 'Pan' || name === 'Tilt') && when === undefined;
  });
}

/** Light must be able to be nothing, a strobe must not begin by itself, and where a head looks may be mirrored by the patch. */
function followsAtRest({ functions, initial = 0 }: Channel, job: Job | undefined): boolean {
  const name = functions[initial]?.attribute ?? 'NoFeature';
  if (job?.flashes === true) return holds(job, job.rest);
  return attribute(name).atBlackout !== 'keep' || name === 'Pan' || name === 'Tilt';
}

const restValue = (job: Job): number => channelValue(job, job.cell < 0 ? job.lowest : job.rest);

function channelValue(job: Job, physical: number): number {
  const value = Float64Array.of(physical);
  toChannelValue(job, value, 0);
  return Math.round(value[0] as number);
}

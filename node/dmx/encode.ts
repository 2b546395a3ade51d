import { attribute, isEmitter } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Levels } from '../core/levels.ts';
import { finish, type Steps } from '../core/steps.ts';
import type { Universe } from '../core/units.ts';
import type { Channel, ChannelFunction } from '../rig/fixture-type.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import { isDriven } from '../rig/laser.ts';
import { cellsOf, type Lamp, type Rig, type RigFixture, startOf, stretchesOf } from '../rig/rig.ts';
import { type Choosing, Deciding } from './decide.ts';
import { channelPlaces, channelValue, holds, type Job, jobFrom, placesOf } from './job.ts';
import { type Mixing, mixInto, mixingOf } from './mix.ts';

/** Where a channel's value goes. */
interface Writing {
  readonly slots: Uint8Array;
  /** Places of its bytes in the universe, the highest first. */
  readonly places: readonly number[];
}

interface FixtureWriter {
  /** All its cells, and what was in them when its slots were written last. */
  readonly cells: Uint32Array;
  readonly written: Float64Array;
  readonly lamps: readonly Mixing[];
  readonly deciding: Deciding;
  /** By channel. */
  readonly writing: readonly Writing[];
}

/** A slot, from 1, that somebody drives to a value, 0..255. */
export interface DrivenSlot {
  readonly universe: Universe;
  readonly slot: number;
  readonly value: number;
}

/** Turns attribute frames into DMX slots, as the patch places them. Everything that can be looked up beforehand is. */
export class Encoder {
  readonly #fixtures: readonly FixtureWriter[];
  readonly #levels: Levels;
  /** Slots of what must not be driven, by hand neither. */
  readonly #barred: ReadonlySet<string>;
  #driven: readonly DrivenSlot[] = [];

  private constructor(fixtures: readonly FixtureWriter[], levels: Levels, barred: ReadonlySet<string>) {
    this.#fixtures = fixtures;
    this.#levels = levels;
    this.#barred = barred;
  }

  static for(rig: Rig, levels: Levels): Encoder {
    return finish(Encoder.making(rig, levels));
  }

  /** {@link Encoder.for} in steps. */
  static *making(rig: Rig, levels: Levels): Steps<Encoder> {
    const colours = new LampColours();
    const fixtures: FixtureWriter[] = [];
    for (const fixture of rig.fixtures) {
      if (isDriven(fixture)) fixtures.push(writerOf(fixture, rig.rest, levels, colours));
      yield;
    }
    return new Encoder(fixtures, levels, barredIn(rig));
  }

  /** `exact` stands over what the frame says, slot by slot. */
  encode(frame: Frame, exact: readonly DrivenSlot[] = []): void {
    // A slot that no lamp owns has nobody else to bring it back.
    this.#drive(this.#driven, true);
    const all = this.#driven.length > 0;
    for (const fixture of this.#fixtures) {
      if (!differs(fixture, frame) && !all) continue;
      const { lamps, deciding, writing } = fixture;
      for (const lamp of lamps) mixInto(lamp, frame);
      deciding.decide(frame);
      for (let i = 0; i < writing.length; i++) write(writing[i] as Writing, deciding.values, i);
    }
    this.#drive(exact, false);
    this.#driven = exact;
    this.#levels.publish();
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

function write({ slots, places }: Writing, values: Float64Array, of: number): void {
  let rest = values[of] as number;
  for (let i = places.length - 1; i >= 0; i--) {
    slots[places[i] as number] = rest & 0xff;
    rest >>>= 8;
  }
}

/** Whether the frame says something else of a fixture than when this was asked last. */
function differs({ cells, written }: FixtureWriter, frame: Frame): boolean {
  let is = false;
  for (let i = 0; i < cells.length; i++) {
    const value = frame[cells[i] as number] as number;
    if (written[i] === value) continue;
    written[i] = value;
    is = true;
  }
  return is;
}

function writerOf(fixture: RigFixture, atRest: Frame, levels: Levels, colours: LampColours): FixtureWriter {
  const { mode, lamps } = fixture;
  const mixings = lamps.map((lamp) => mixingOf(lamp, fixture, colours));
  const places = channelPlaces(mode);
  const lampOf = new Map(lamps.flatMap((lamp, i) => lamp.channels.map((channel) => [channel, i] as const)));
  const cells = Uint32Array.from(cellsOf(fixture), ([, cell]) => cell);
  return {
    cells,
    written: new Float64Array(cells.length).fill(Number.NaN),
    lamps: mixings,
    deciding: new Deciding(
      mode.channels.map((channel) => {
        const own = lampOf.get(channel) as number;
        const { mixed } = mixings[own] as Mixing;
        return choosingOf(channel, lamps[own] as Lamp, mixed, (one, lamp) => jobFrom(one, lamp, fixture, atRest, places));
      }),
    ),
    writing: mode.channels.map((channel) => ({
      slots: levels.slots(startOf(fixture, channel.break)?.universe ?? fixture.universe),
      places: placesOf(channel, fixture),
    })),
  };
}

function choosingOf(channel: Channel, lamp: Lamp, mixed: Float64Array, jobOf: (one: ChannelFunction, lamp: Lamp) => Job): Choosing {
  const jobs = channel.functions.map((one) => jobOf(one, lamp));
  const initial = jobs[channel.initial ?? 0];
  const emitter = channel.functions.findIndex((one) => isEmitter(one.attribute));
  const follows =
    emitter >= 0 ? jobs[emitter] : channel.default === undefined || followsAtRest(channel, initial) ? initial : undefined;
  // An emitter that may not work must not light a lamp that only its emitters dim.
  const standing = emitter >= 0 && !lamp.hasDimmer ? 0 : (channel.default ?? (initial === undefined ? 0 : restValue(initial)));
  return { jobs, base: follows, standing, mixed };
}

/** Light must be able to be nothing, a strobe must not begin by itself, and where a head looks may be mirrored by the patch. */
function followsAtRest({ functions, initial = 0 }: Channel, job: Job | undefined): boolean {
  const name = functions[initial]?.attribute ?? 'NoFeature';
  if (job?.flashes === true) return holds(job, job.rest);
  return attribute(name).atBlackout !== 'keep' || name === 'Pan' || name === 'Tilt';
}

const restValue = (job: Job): number => Math.round(channelValue(job, job.cell < 0 ? job.lowest : job.rest));

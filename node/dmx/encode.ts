import { type AttributeName, attribute, attributes } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Levels } from '../core/levels.ts';
import { clampLevel, type Universe } from '../core/units.ts';
import type { Channel, ChannelFunction } from '../fixtures/fixture-type.ts';
import type { Rig, RigFixture } from '../fixtures/rig.ts';
import { mix } from '../plan/colour/mix.ts';
import { oklabToLinear } from '../plan/colour/oklab.ts';

const FULL_8 = 255;
const FULL_16 = 65535;

/** One job of a channel, with its place in the frame looked up. */
interface Job {
  /** Cell of the frame; -1 where the value comes from the colour mixture or from nowhere. */
  readonly cell: number;
  /** Place among the fixture's emitters, or -1. */
  readonly emitter: number;
  readonly rest: number;
  readonly lowest: number;
  readonly span: number;
  readonly first: number;
  readonly last: number;
  readonly isWheel: boolean;
  /** At 0 it lets no light out. */
  readonly closes: boolean;
  readonly flashes: boolean;
}

interface Writer {
  readonly slots: Uint8Array;
  readonly coarse: number;
  /** Place of the low byte, or -1. */
  readonly fine: number;
  readonly jobs: readonly Job[];
}

interface Lamp {
  readonly writers: readonly Writer[];
  readonly emitters: readonly AttributeName[];
  readonly colour: number;
  /** Cell by which emitters are scaled, or -1 where the lamp has a dimmer channel of its own. */
  readonly dimmer: number;
}

/** A slot, from 1, that somebody drives to a value, 0..255. */
export interface DrivenSlot {
  readonly universe: Universe;
  readonly slot: number;
  readonly value: number;
}

/** Turns attribute frames into DMX slots, as the patch places them. Everything that can be looked up beforehand is. */
export class Encoder {
  readonly #lamps: readonly Lamp[];
  readonly #levels: Levels;
  readonly #rgb = new Float64Array(3);
  readonly #mixed = new Float64Array(16);

  constructor(rig: Rig, levels: Levels) {
    this.#levels = levels;
    this.#lamps = rig.fixtures.map((fixture) => lampOf(fixture, levels));
  }

  /** `byHand` stands over what the frame says, slot by slot. */
  encode(frame: Frame, byHand: readonly DrivenSlot[] = []): void {
    this.#levels.begin();
    for (const lamp of this.#lamps) {
      if (lamp.emitters.length > 0) {
        const at = lamp.colour;
        oklabToLinear(frame[at] as number, frame[at + 1] as number, frame[at + 2] as number, this.#rgb);
        mix(this.#rgb, lamp.emitters, this.#mixed);
      }
      const scale = lamp.dimmer < 0 ? 1 : (frame[lamp.dimmer] as number);
      for (const writer of lamp.writers) this.#write(writer, frame, scale);
    }
    for (const { universe, slot, value } of byHand) if (this.#levels.has(universe)) this.#levels.slots(universe)[slot - 1] = value;
    this.#levels.end();
  }

  #write(writer: Writer, frame: Frame, scale: number): void {
    const job = jobOf(writer.jobs, frame);
    const value =
      job.emitter >= 0 ? (this.#mixed[job.emitter] as number) * scale : job.cell >= 0 ? (frame[job.cell] as number) : job.lowest;
    const share = shareOf(job, value) / FULL_8;
    if (writer.fine < 0) {
      writer.slots[writer.coarse] = Math.round(share * FULL_8);
    } else {
      const fine = Math.round(share * FULL_16);
      writer.slots[writer.coarse] = fine >> 8;
      writer.slots[writer.fine] = fine & 0xff;
    }
  }
}

/** The last job whose attribute is away from rest has the channel, but a strobe only where the channel's own light is not closed; otherwise the first. */
function jobOf(jobs: readonly Job[], frame: Frame): Job {
  for (let i = jobs.length - 1; i > 0; i--) {
    const job = jobs[i] as Job;
    if (job.cell >= 0 && frame[job.cell] !== job.rest && !(job.flashes && isClosed(jobs, frame))) return job;
  }
  return jobs[0] as Job;
}

function isClosed(jobs: readonly Job[], frame: Frame): boolean {
  for (const { closes, cell } of jobs) if (closes && (frame[cell] as number) <= 0) return true;
  return false;
}

/** Channel value 0..255 with its fraction, linear between the ends of the function (GDTF, DMXFrom and PhysicalFrom/To). */
function shareOf(job: Job, value: number): number {
  if (job.isWheel) {
    // A slot is a stretch of values: aim at its middle.
    const steps = Math.abs(job.span);
    const along = Math.round(job.span < 0 ? job.lowest - value : value - job.lowest);
    const index = Math.min(steps, Math.max(0, along));
    return Math.floor(job.first + ((index + 0.5) * (job.last + 1 - job.first)) / (steps + 1));
  }
  return job.first + (job.last - job.first) * (job.span === 0 ? 0 : clampLevel((value - job.lowest) / job.span));
}

function lampOf(fixture: RigFixture, levels: Levels): Lamp {
  const slots = levels.slots(fixture.universe);
  const place = (slot: number): number => fixture.address - 1 + slot - 1;
  return {
    emitters: fixture.emitters,
    colour: fixture.cells.get('ColourL') ?? -1,
    dimmer: fixture.hasDimmer ? -1 : (fixture.cells.get('Dimmer') ?? -1),
    writers: fixture.mode.channels.map((channel: Channel) => ({
      slots,
      coarse: place(channel.slot),
      fine: channel.fine === undefined ? -1 : place(channel.fine),
      jobs: channel.functions.map((one) => jobFrom(one, fixture)),
    })),
  };
}

function jobFrom({ attribute: name, from, to, physical: [lowest, highest] }: ChannelFunction, fixture: RigFixture): Job {
  const cell = fixture.cells.get(name) ?? -1;
  return {
    cell,
    emitter: fixture.emitters.indexOf(name),
    rest: attributes[name].rest,
    lowest,
    span: highest - lowest,
    first: from,
    last: to,
    isWheel: attributes[name].unit === 'slot',
    closes: cell >= 0 && (attribute(name).intensity === true || name === 'Shutter1'),
    flashes: attributes[name].unit === 'hertz',
  };
}

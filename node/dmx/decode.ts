import type { Universe } from '../core/units.ts';
import type { Channel, ChannelFunction } from '../rig/fixture-type.ts';
import { type Lamp, type Rig, type RigFixture, startOf } from '../rig/rig.ts';
import { channelPlaces, frameValueOf, has, type Job, jobFrom, physicalOf, placesOf } from './job.ts';

/** A cell of a frame and what it shall hold. */
export type CellValue = readonly [cell: number, value: number];

type SlotsOf = (universe: Universe) => Uint8Array | undefined;
const unknown: SlotsOf = () => undefined;

/** A channel of a fixture that can be read backwards: from its value to the cells that the encoder makes it from. */
export class ChannelReader {
  readonly fixture: string;
  /** Places of its bytes in the universe, from 0, the highest byte first. */
  readonly places: readonly number[];
  readonly universe: Universe;
  readonly #jobs: readonly Job[];
  /** All channels of the fixture, by their place in its mode. */
  readonly #all: readonly ChannelReader[];

  constructor(channel: Channel, fixture: RigFixture, jobOf: (one: ChannelFunction) => Job, all: readonly ChannelReader[]) {
    this.fixture = fixture.id;
    this.places = placesOf(channel, fixture);
    this.universe = startOf(fixture, channel.break)?.universe ?? fixture.universe;
    this.#jobs = channel.functions.map(jobOf);
    this.#all = all;
  }

  /** The value that it has among the slots of its universe. */
  valueIn(slots: Uint8Array): number {
    let value = 0;
    for (const place of this.places) value = value * 256 + (slots[place] as number);
    return value;
  }

  /**
   * The cells of all its jobs: the job that the value belongs to gets what the value means, the others rest. Of jobs that hang on other
   * channels the one counts that works while those stand as `slotsOf` their universes says.
   */
  decode(value: number, slotsOf: SlotsOf = unknown): CellValue[] {
    const found = this.#jobs.find((job) => job.cell >= 0 && has(job, value) && this.#works(job, slotsOf));
    const cells = new Map<number, number>();
    for (const job of this.#jobs) if (job.cell >= 0 && !cells.has(job.cell)) cells.set(job.cell, job.rest);
    if (found === undefined) return [...cells];
    const physical = physicalOf(found, value);
    // Where light has the channel at other values, a shutter that is open or flashes here lets all of it out.
    const isOpen = physical > 0 && (found.flashes || (found.closes && found.rest > 0));
    for (const job of isOpen ? this.#jobs : []) if (job.closes && job.rest <= 0) cells.set(job.cell, 1);
    cells.set(found.cell, frameValueOf(found, physical));
    return [...cells];
  }

  #works({ when }: Job, slotsOf: SlotsOf): boolean {
    if (when === undefined) return true;
    const master = this.#all[when.channel];
    const slots = master === undefined ? undefined : slotsOf(master.universe);
    const stands = master === undefined || slots === undefined ? undefined : master.valueIn(slots);
    return stands !== undefined && stands >= when.from && stands <= when.to;
  }
}

/** Reads slots back into a frame: what somebody drives by hand, or what was recorded. */
export class Decoder {
  readonly #at = new Map<string, ChannelReader[]>();

  constructor(rig: Rig) {
    for (const fixture of rig.fixtures) {
      const places = channelPlaces(fixture.mode);
      const all: ChannelReader[] = [];
      for (const channel of fixture.mode.channels) {
        const lamp = fixture.lamps.find(({ part }) => part === (channel.part ?? 0)) as Lamp;
        all.push(new ChannelReader(channel, fixture, (one) => jobFrom(one, lamp, fixture, rig.rest, places), all));
      }
      for (const one of all) this.#add(one);
    }
  }

  /** Channels of which the slot, from 1, is a byte; none for a slot of no fixture, several where fixtures answer to the same slot. */
  channels(universe: Universe, slot: number): readonly ChannelReader[] {
    return this.#at.get(key(universe, slot - 1)) ?? [];
  }

  #add(reader: ChannelReader): void {
    for (const place of reader.places) {
      const at = key(reader.universe, place);
      this.#at.set(at, [...(this.#at.get(at) ?? []), reader]);
    }
  }
}

const key = (universe: Universe, place: number): string => `${universe} ${place}`;

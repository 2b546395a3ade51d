import type { Universe } from '../core/units.ts';
import type { Channel } from '../rig/fixture-type.ts';
import type { Lamp, Rig, RigFixture } from '../rig/rig.ts';
import { frameValueOf, type Job, jobFrom, physicalOf, placesOf } from './job.ts';

/** A cell of a frame and what it shall hold. */
export type CellValue = readonly [cell: number, value: number];

/** A channel of a fixture that can be read backwards: from its value to the cells that the encoder makes it from. */
export class ChannelReader {
  readonly fixture: string;
  /** Places of its bytes in the universe, from 0, the highest byte first. */
  readonly places: readonly number[];
  readonly #jobs: readonly Job[];

  constructor(channel: Channel, lamp: Lamp, fixture: RigFixture) {
    this.fixture = fixture.id;
    this.places = placesOf(channel, fixture);
    this.#jobs = channel.functions.map((one) => jobFrom(one, lamp, fixture, new Map()));
  }

  /** The value that it has among the slots of its universe. */
  valueIn(slots: Uint8Array): number {
    let value = 0;
    for (const place of this.places) value = value * 256 + (slots[place] as number);
    return value;
  }

  /** The cells of all its jobs: the job that the value belongs to gets what the value means, the others rest. */
  decode(value: number): CellValue[] {
    const has = this.#jobs.find(({ cell, first, last }) => cell >= 0 && value >= first && value <= last);
    const cells = new Map<number, number>();
    for (const job of this.#jobs) if (job.cell >= 0 && !cells.has(job.cell)) cells.set(job.cell, job.rest);
    if (has !== undefined) cells.set(has.cell, frameValueOf(has, physicalOf(has, value)));
    return [...cells];
  }
}

/** Reads slots back into a frame: what somebody drives by hand, or what was recorded. */
export class Decoder {
  readonly #at = new Map<string, ChannelReader[]>();

  constructor(rig: Rig) {
    for (const fixture of rig.fixtures) {
      for (const lamp of fixture.lamps) {
        for (const channel of lamp.channels) this.#add(fixture.universe, new ChannelReader(channel, lamp, fixture));
      }
    }
  }

  /** Channels of which the slot, from 1, is a byte; none for a slot of no fixture, several where fixtures answer to the same slot. */
  channels(universe: Universe, slot: number): readonly ChannelReader[] {
    return this.#at.get(key(universe, slot - 1)) ?? [];
  }

  #add(universe: Universe, reader: ChannelReader): void {
    for (const place of reader.places) {
      const at = key(universe, place);
      this.#at.set(at, [...(this.#at.get(at) ?? []), reader]);
    }
  }
}

const key = (universe: Universe, place: number): string => `${universe} ${place}`;

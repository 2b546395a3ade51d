import { isEmitter } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Universe } from '../core/units.ts';
import { cellsOf, type Rig, type RigFixture } from '../rig/rig.ts';
import { Decoder } from './decode.ts';

/** Slots by universe, as many as are sent, slot 1 at index 0. */
export type HeardSlots = ReadonlyMap<Universe, Uint8Array>;

/** Slots of no fixture that are above 0. */
export interface StraySlots {
  readonly universe: Universe;
  /** From 1, ascending. */
  readonly slots: readonly number[];
}

/** What slots from somewhere else say of the fixtures of a rig. */
export interface HeardFrame {
  readonly frame: Frame;
  /** The fixtures whose slots were all among them; the others rest in the frame. */
  readonly fixtures: readonly RigFixture[];
  readonly stray: readonly StraySlots[];
}

/** Reads whole universes by the patch of a rig. */
export class HeardFrames {
  readonly #rig: Rig;
  readonly #decoder: Decoder;

  constructor(rig: Rig) {
    this.#rig = rig;
    this.#decoder = new Decoder(rig);
  }

  /** The fixtures of which every slot is there. */
  covered(heard: HeardSlots): RigFixture[] {
    return this.#rig.fixtures.filter(({ id }) =>
      this.#decoder.channelsOf(id).every(({ universe, places }) => {
        const sent = heard.get(universe)?.length ?? 0;
        return places.every((place) => place < sent);
      }),
    );
  }

  read(heard: HeardSlots): HeardFrame {
    const frame = Float64Array.from(this.#rig.rest);
    const fixtures = this.covered(heard);
    for (const fixture of fixtures) this.#lay(fixture, heard, frame);
    return { frame, fixtures, stray: this.#stray(heard) };
  }

  /** Where several channels share a job the one that asks for something stands, not one that rests. */
  #lay(fixture: RigFixture, heard: HeardSlots, frame: Frame): void {
    const { rest } = this.#rig;
    for (const channel of this.#decoder.channelsOf(fixture.id)) {
      const slots = heard.get(channel.universe);
      if (slots === undefined || channel.places.length === 0) continue;
      for (const [cell, value] of channel.decode(channel.valueIn(slots), (universe) => heard.get(universe)))
        if (value !== rest[cell]) frame[cell] = value;
    }
    // An emitter that no channel drives follows the colour in a frame of ours; here there is no colour to follow.
    for (const [name, cell] of cellsOf(fixture)) if (isEmitter(name)) frame[cell] = Math.max(0, frame[cell] as number);
  }

  #stray(heard: HeardSlots): StraySlots[] {
    return [...heard].flatMap(([universe, values]) => {
      const slots = Array.from(values, (_, i) => i + 1).filter(
        (slot) => (values[slot - 1] as number) > 0 && this.#decoder.channels(universe, slot).length === 0,
      );
      return slots.length === 0 ? [] : [{ universe, slots }];
    });
  }
}

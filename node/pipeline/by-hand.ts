import type { AttributeName } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Levels } from '../core/levels.ts';
import type { Universe } from '../core/units.ts';
import { type ChannelReader, Decoder } from '../dmx/decode.ts';
import type { DrivenSlot } from '../dmx/encode.ts';
import { openSlot } from '../rig/filters.ts';
import type { Lamp, Rig } from '../rig/rig.ts';

/** What somebody drives by hand, over whatever plays and under the guards. */
export interface ByHand {
  readonly slots: readonly DrivenSlot[];
  /** A fixture that is lit up in open white, to find it in the room. */
  readonly identify?: string;
}

export const NOTHING_BY_HAND: ByHand = { slots: [] };

/** A fixture in open white at full, so that a person at its foot sees which one it is. */
const litUp = [
  ['Dimmer', 1],
  ['ColourL', 1],
  ['ColourA', 0],
  ['ColourB', 0],
  ['Shutter1', 1],
  ['Shutter1Strobe', 0],
  ['ColorSub_C', 0],
  ['ColorSub_M', 0],
  ['ColorSub_Y', 0],
] as const satisfies readonly (readonly [AttributeName, number])[];

const wheels = ['Color1', 'Color2', 'Gobo1', 'Gobo2'] as const;

const restsBy = (cells: Lamp['cells']): (readonly [number, number])[] => {
  const rests = cells.get('AimRests');
  return rests === undefined ? [] : (['Pan', 'Tilt'] as const).map((axis) => [cells.get(axis) as number, rests] as const);
};

/** A slot that is driven, with what it means. */
interface Laid {
  readonly driven: DrivenSlot;
  /** Cells and the values that were laid into them; of a slot that means nothing to any lamp none. */
  readonly cells: number[];
  readonly values: number[];
}

/**
 * Hands at the wire page. What a slot means to its lamp goes into the frame, so that every guard sees it; the very value of the slot goes to
 * the wire where nothing behind changed what it means. A slot of no lamp is sent as it is, but not in a blackout.
 */
export class Hands {
  readonly #rig: Rig;
  readonly #levels: Levels;
  #decoder: Decoder | undefined;
  /** By cell of an axis the one that says whether its head is meant to rest. */
  readonly #rests: ReadonlyMap<number, number>;
  #laid: Laid[] = [];

  constructor(rig: Rig, levels: Levels) {
    this.#rig = rig;
    this.#levels = levels;
    this.#rests = new Map(rig.fixtures.flatMap(({ lamps }) => lamps.flatMap(({ cells }) => restsBy(cells))));
  }

  /** Lays what is driven over the frame. */
  lay({ slots, identify }: ByHand, frame: Frame): void {
    if (identify !== undefined) this.#lightUp(identify, frame);
    if (slots.length === 0) {
      if (this.#laid.length > 0) this.#laid = [];
      return;
    }
    this.#decoder ??= new Decoder(this.#rig);
    this.#laid = [];
    for (const driven of slots) {
      const channels = this.#decoder.channels(driven.universe, driven.slot);
      const laid: Laid = { driven, cells: [], values: [] };
      for (const channel of channels) {
        for (const [cell, value] of channel.decode(this.#valueOf(channel, driven.universe, slots), this.#sent)) {
          frame[cell] = value;
          // Where a hand aims a head it rests at nobody's wish.
          const rests = this.#rests.get(cell);
          if (rests !== undefined) frame[rests] = 0;
          laid.cells.push(cell);
          laid.values.push(value);
        }
      }
      this.#laid.push(laid);
    }
  }

  /** The slots to be sent just as they are driven. @param dark nothing may light the rig */
  exact(frame: Frame, dark: boolean): readonly DrivenSlot[] {
    if (this.#laid.length === 0) return NOTHING_BY_HAND.slots;
    return this.#laid
      .filter(({ cells, values }) => (cells.length === 0 ? !dark : cells.every((cell, i) => frame[cell] === values[i])))
      .map(({ driven }) => driven);
  }

  /** The channel's value with the bytes that are driven, and the others as they went out last. */
  #valueOf({ places }: ChannelReader, universe: Universe, slots: readonly DrivenSlot[]): number {
    const sent = this.#levels.slots(universe);
    return places.reduce((value, place) => {
      const driven = slots.find((one) => one.universe === universe && one.slot === place + 1)?.value;
      return value * 256 + (driven ?? (sent[place] as number));
    }, 0);
  }

  readonly #sent = (universe: Universe): Uint8Array | undefined =>
    this.#levels.has(universe) ? this.#levels.slots(universe) : undefined;

  #lightUp(id: string, frame: Frame): void {
    const fixture = this.#rig.byId.get(id);
    if (fixture === undefined) return;
    const opened = wheels.map((name) => [name, openSlot(fixture.type, fixture.mode, name)] as const);
    for (const { cells } of fixture.lamps) {
      for (const [name, value] of [...litUp, ...opened.filter(([, slot]) => slot > 0)]) {
        const cell = cells.get(name);
        if (cell !== undefined) frame[cell] = value;
      }
    }
  }
}

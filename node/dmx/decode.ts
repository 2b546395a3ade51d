import type { AttributeName } from '../core/attributes.ts';
import type { Levels } from '../core/levels.ts';
import type { Channel } from '../fixtures/fixture-type.ts';
import type { Rig, RigFixture } from '../fixtures/rig.ts';
import { type Triple, toEncoded, toLinear } from '../plan/colour/oklab.ts';
import { parseColour } from '../show/colour-value.ts';

/** Light of an emitter at full, as linear sRGB, for a picture on a screen. UV is shown as the violet that an eye makes of it. */
const emitterLight: Readonly<Partial<Record<AttributeName, Triple>>> = {
  ColorAdd_R: [1, 0, 0],
  ColorAdd_G: [0, 1, 0],
  ColorAdd_B: [0, 0, 1],
  ColorAdd_W: [1, 1, 1],
  ColorAdd_RY: [1, 0.4995, 0],
  ColorAdd_UV: [0.08, 0, 0.25],
};
/** A lamp that mixes no colours: a filament at about 2700 K. */
const FILAMENT: Triple = [1, 0.46, 0.14];

/** Reads the slots that go to the wire back into what an eye would see of each fixture. */
export class Decoder {
  readonly #fixtures: readonly RigFixture[];
  readonly #levels: Levels;

  constructor(rig: Rig, levels: Levels) {
    this.#fixtures = rig.fixtures;
    this.#levels = levels;
  }

  /** Colour of every fixture as 0xRRGGBB in sRGB, in the order of the patch; 0 is dark. What gives no light stays 0. */
  colours(): number[] {
    const slotsOf = new Map(this.#levels.universes.map((universe) => [universe, this.#levels.snapshot(universe)]));
    return this.#fixtures.map((fixture) => {
      const slots = slotsOf.get(fixture.universe);
      return slots === undefined ? 0 : pack(lightOf(fixture, slots));
    });
  }
}

function lightOf(fixture: RigFixture, slots: Uint8Array): Triple {
  let open = 1;
  let light: [number, number, number] | undefined;
  let wheel: Triple | undefined;
  for (const channel of fixture.mode.channels) {
    const value = shareOf(channel, fixture, slots);
    const name = functionAt(channel, value);
    if (name === 'Dimmer' || (name === 'Shutter1' && value === 0)) open *= value;
    const emitter = name === undefined ? undefined : emitterLight[name];
    if (emitter !== undefined) {
      light ??= [0, 0, 0];
      for (const i of [0, 1, 2] as const) light[i] += emitter[i] * value;
    }
    if (name === 'Color1') wheel = wheelColour(fixture, value);
  }
  const source = light ?? wheel ?? (fixture.cells.has('Dimmer') ? FILAMENT : [0, 0, 0]);
  return [source[0] * open, source[1] * open, source[2] * open];
}

/** Value of a channel as a share of its whole range, 0..1. */
function shareOf({ slot, fine }: Channel, fixture: RigFixture, slots: Uint8Array): number {
  const coarse = slots[fixture.address + slot - 2] ?? 0;
  return fine === undefined ? coarse / 255 : (coarse * 256 + (slots[fixture.address + fine - 2] ?? 0)) / 65535;
}

const functionAt = (channel: Channel, value: number): AttributeName | undefined =>
  channel.functions.find(({ from, to }) => value * 255 >= from && value * 255 < to + 1)?.attribute;

function wheelColour({ type }: RigFixture, value: number): Triple {
  const slots = type.wheels.Color1 ?? [];
  const text = slots[Math.min(slots.length - 1, Math.floor((value * 255 * slots.length) / 256))]?.colour;
  const colour = text === undefined ? undefined : parseColour(text);
  return colour?.kind === 'srgb' ? [toLinear(colour.red), toLinear(colour.green), toLinear(colour.blue)] : [1, 1, 1];
}

/** The strongest part is cut at full: a screen has no more. */
function pack(linear: Triple): number {
  const [r, g, b] = linear.map((part) => Math.round(toEncoded(Math.min(1, part)) * 255));
  return ((r ?? 0) << 16) | ((g ?? 0) << 8) | (b ?? 0);
}

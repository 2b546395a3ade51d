import { type EmitterName, isEmitter } from '../core/attributes.ts';
import type { Levels } from '../core/levels.ts';
import { parseColour } from '../light/colour-value.ts';
import { alongCurve } from '../light/curve.ts';
import type { LampColour } from '../light/lamp-colour.ts';
import { type Triple, toEncoded, toLinear, xyzToLinear } from '../light/oklab.ts';
import { type Channel, type ChannelFunction, fullOf } from '../rig/fixture-type.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import type { Lamp, Rig, RigFixture } from '../rig/rig.ts';

/** What an eye makes of UV at full: a trace of violet, in linear sRGB. From memory; for the picture only. */
const UV: Triple = [0.08, 0, 0.25];
/** A lamp that mixes no colours: a filament at about 2700 K, in linear sRGB. */
const FILAMENT: Triple = [1, 0.46, 0.14];
const DARK: Triple = [0, 0, 0];
/** White of a screen, CIE 1931 (IEC 61966-2-1). */
const D65 = [0.3127, 0.329] as const;

/** Reads the slots that go to the wire back into what an eye would see of each fixture. */
export class Decoder {
  readonly #fixtures: readonly RigFixture[];
  readonly #levels: Levels;
  readonly #colours = new LampColours();

  constructor(rig: Rig, levels: Levels) {
    this.#fixtures = rig.fixtures;
    this.#levels = levels;
  }

  /** Colour of every fixture as 0xRRGGBB in sRGB, in the order of the patch; 0 is dark. What gives no light stays 0. */
  colours(): number[] {
    const slotsOf = new Map(this.#levels.universes.map((universe) => [universe, this.#levels.snapshot(universe)]));
    return this.#fixtures.map((fixture) => {
      const slots = slotsOf.get(fixture.universe);
      return slots === undefined ? 0 : pack(this.#lightOf(fixture, slots));
    });
  }

  /** Light of the whole; of several parts, their mean behind the whole's dimmer and shutter. */
  #lightOf(fixture: RigFixture, slots: Uint8Array): Triple {
    const [whole, ...parts] = fixture.lamps.map((lamp) => this.#read(lamp, fixture, slots));
    if (whole === undefined) return DARK;
    if (parts.length === 0) return times(whole.light, whole.open);
    const sum = parts.reduce<Triple>((all, { light, open }) => plus(all, times(light, open)), DARK);
    return times(sum, whole.open / parts.length);
  }

  #read(lamp: Lamp, fixture: RigFixture, slots: Uint8Array): { readonly light: Triple; readonly open: number } {
    const { type, address } = fixture;
    let open = 1;
    let light: Triple | undefined;
    const mixed = new Map<EmitterName, number>();
    for (const channel of lamp.channels) {
      const value = channelValueAt(channel, address, slots);
      const job = channel.functions.find(({ from, to }) => value >= from && value <= to);
      if (job === undefined) continue;
      const amount = amountOf(job, value);
      if (job.attribute === 'Dimmer') open *= alongCurve(type.dimming ?? 'linear', amount);
      if (job.attribute === 'Shutter1' && amount === 0) open = 0;
      if (isEmitter(job.attribute)) mixed.set(job.attribute, amount);
      if (job.attribute === 'ColorAdd_UV') light = plus(light ?? DARK, times(UV, amount));
      if (job.attribute === 'Color1') light = wheelLight(type, value / (fullOf(channel) + 1));
    }
    if (lamp.emitters.length > 0)
      light = plus(
        light ?? DARK,
        onScreen(
          this.#colours.of(fixture, lamp.emitters),
          lamp.emitters.map((name) => mixed.get(name) ?? 0),
        ),
      );
    return { light: light ?? (lamp.cells.has('Dimmer') ? FILAMENT : DARK), open };
  }
}

function channelValueAt({ slot, fine, ultra }: Channel, address: number, slots: Uint8Array): number {
  const bytes = [slot, fine, ultra].filter((one) => one !== undefined).map((one) => slots[address + one - 2] ?? 0);
  return bytes.reduce((value, byte) => value * 256 + byte, 0);
}

const amountOf = ({ from, to, curve }: ChannelFunction, value: number): number =>
  to === from ? 0 : alongCurve(curve, (value - from) / (to - from));

function wheelLight(type: RigFixture['type'], share: number): Triple {
  const slots = type.wheels.Color1 ?? [];
  const text = slots[Math.min(slots.length - 1, Math.floor(share * slots.length))]?.colour;
  const colour = text === undefined ? undefined : parseColour(text);
  return colour?.kind === 'srgb' ? [toLinear(colour.red), toLinear(colour.green), toLinear(colour.blue)] : [1, 1, 1];
}

/** Mixed light in linear sRGB, exposed so that the lamp's own brightest white is the screen's. */
function onScreen(colours: LampColour, levels: readonly number[]): Triple {
  const white = colours.reach(...D65).luminance / colours.full;
  return xyzToLinear(times(colours.light(levels), white > 0 ? 1 / white : 1));
}

const times = ([a, b, c]: Triple, k: number): Triple => [a * k, b * k, c * k];
const plus = ([a, b, c]: Triple, [d, e, f]: Triple): Triple => [a + d, b + e, c + f];

/** What is too bright for a screen keeps its colour and is shown as bright as it goes; what lies outside its gamut is cut. */
function pack(linear: Triple): number {
  const most = Math.max(1, ...linear);
  const [r = 0, g = 0, b = 0] = linear.map((part) => Math.round(toEncoded(Math.max(0, part) / most) * 255));
  return (r << 16) | (g << 8) | b;
}

import type { AttributeName } from '../../node/core/attributes.ts';
import { Levels } from '../../node/core/levels.ts';
import type { Millis } from '../../node/core/units.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import { type CompiledShow, compileShow } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import { canvasFor, render } from '../../node/playback/render.ts';
import type { Show } from '../../node/show/document.ts';

/** Nominal luminance of the emitters, GDTF (DIN SPEC 15800:2022-02) annex B; white is 100. */
const luminance: Partial<Record<AttributeName, number>> = {
  ColorAdd_R: 21.3,
  ColorAdd_G: 71.5,
  ColorAdd_B: 7.2,
  ColorAdd_RY: 57,
  ColorAdd_W: 100,
};

export const SAMPLES_PER_SECOND = 40;

/** Luminance of every lamp over time, by its id, relative to the lamp with all its emitters at full. */
export type Light = ReadonlyMap<string, readonly number[]>;

/** Seconds between two presses: the first look has faded in when the second button comes. */
const BETWEEN_PRESSES = 4;

/**
 * Plays a show from its start, presses the buttons one after the other, and watches what the wire tells the lamps from the first press
 * to some seconds after the last. No guard stands between: what is measured is what the show itself asks for. Strobe channels are not
 * looked at.
 */
export function watch(show: Show, buttons: readonly string[], bpm: number, seconds: number): Light {
  const compiled = compileShow(show);
  const levels = new Levels(compiled.rig.universes);
  const encoder = Encoder.for(compiled.rig, levels);
  const frame = Float64Array.from(compiled.rig.rest);
  const canvas = canvasFor(compiled);
  let state = reduce(compiled, freshState(compiled, 0), { do: 'tempo', bpm }, 0);
  let now: Millis = 30_000;

  const light = new Map<string, number[]>(compiled.rig.fixtures.map(({ id }) => [id, []]));
  for (const [i, button] of buttons.entries()) {
    state = reduce(compiled, state, { do: 'press', button }, now);
    const frames = (i < buttons.length - 1 ? BETWEEN_PRESSES : seconds) * SAMPLES_PER_SECOND;
    for (let k = 0; k < frames; k++, now += 1000 / SAMPLES_PER_SECOND) {
      encoder.encode(render(compiled, state, now, frame, canvas));
      for (const [id, value] of lightOf(compiled, levels)) light.get(id)?.push(value);
    }
  }
  return light;
}

/** Reads the bytes of every lamp as the lamp would: dimmer times the light of its emitters, where it has any. */
function* lightOf({ rig }: CompiledShow, levels: Levels): Iterable<readonly [string, number]> {
  for (const { id, mode, universe, address } of rig.fixtures) {
    const slots = levels.slots(universe);
    let dimmer = 1;
    let [mixed, full] = [0, 0];
    for (const { slot, functions } of mode.channels) {
      const name = functions[0]?.attribute;
      const value = (slots[address - 1 + slot - 1] ?? 0) / 255;
      const emitter = name === undefined ? undefined : luminance[name];
      if (name === 'Dimmer') dimmer = value;
      if (emitter !== undefined) [mixed, full] = [mixed + emitter * value, full + emitter];
    }
    yield [id, dimmer * (full === 0 ? 1 : mixed / full)];
  }
}

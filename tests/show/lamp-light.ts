import type { AttributeName } from '../../node/core/attributes.ts';
import { Levels } from '../../node/core/levels.ts';
import type { Millis } from '../../node/core/units.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import { type CompiledShow, compileShow } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import { render } from '../../node/playback/render.ts';
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

export interface Watched {
  /** Relative luminance of every lamp over time, by its id. */
  readonly light: ReadonlyMap<string, readonly number[]>;
}

/**
 * Plays a show from its start, presses the buttons, and watches what the wire tells the lamps for some seconds from the press on.
 * No guard stands between: what is measured is what the show itself asks for. Strobe channels are not looked at.
 */
export function watch(show: Show, buttons: readonly string[], bpm: number, seconds: number): Watched {
  const compiled = compileShow(show);
  const levels = new Levels(compiled.rig.universes);
  const encoder = new Encoder(compiled.rig, levels);
  const [frame, spare] = [Float64Array.from(compiled.rig.rest), Float64Array.from(compiled.rig.rest)];
  const settled: Millis = 30_000;
  let state = reduce(compiled, freshState(compiled, 0), { do: 'tempo', bpm }, 0);
  for (const button of buttons) state = reduce(compiled, state, { do: 'press', button }, settled);

  const light = new Map<string, number[]>(compiled.rig.fixtures.map(({ id }) => [id, []]));
  for (let i = 0; i <= seconds * SAMPLES_PER_SECOND; i++) {
    encoder.encode(render(compiled, state, settled + (i * 1000) / SAMPLES_PER_SECOND, frame, spare));
    for (const [id, value] of lightOf(compiled, levels)) light.get(id)?.push(value);
  }
  return { light };
}

/** Reads the bytes of every lamp as the lamp would: dimmer times the light of its emitters, where it has any. */
function* lightOf({ rig }: CompiledShow, levels: Levels): Iterable<readonly [string, number]> {
  for (const { id, mode, universe, address } of rig.fixtures) {
    const slots = levels.slots(universe);
    let dimmer = 1;
    let mixed: number | undefined;
    for (const { slot, functions } of mode.channels) {
      const name = functions[0]?.attribute;
      const value = (slots[address - 1 + slot - 1] ?? 0) / 255;
      const emitter = name === undefined ? undefined : luminance[name];
      if (name === 'Dimmer') dimmer = value;
      if (emitter !== undefined) mixed = (mixed ?? 0) + (emitter / 100) * value;
    }
    yield [id, Math.min(1, dimmer * (mixed ?? 1))];
  }
}

import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type AttributeName, attribute } from '../../../node/core/attributes.ts';
import { Levels } from '../../../node/core/levels.ts';
import { Decoder } from '../../../node/dmx/decode.ts';
import { Encoder } from '../../../node/dmx/encode.ts';
import { compileShow } from '../../../node/playback/compile.ts';
import { stretchesOf } from '../../../node/rig/channel-law.ts';
import type { FixtureType, Mode } from '../../../node/rig/fixture-type.ts';
import { readDescription } from '../../../node/rig/gdtf/read.ts';
import { isDriven } from '../../../node/rig/laser.ts';
import { library } from '../../../node/rig/library.ts';
import { workedMode } from '../../../node/rig/shuttered.ts';
import { place, tinyShow } from '../../helpers/tiny-show.ts';

/** Every type that there is: those of the library, and those read from the files that were made from the standard's text. */
const folder = new URL('foreign/', import.meta.url);
const imported = readdirSync(folder).map((file) => readDescription(readFileSync(new URL(file, folder), 'utf8')));
const steppedIn = ({ channels }: Mode) =>
  channels.flatMap((channel) =>
    channel.functions.flatMap((one) => {
      const stretches = stretchesOf(one);
      return stretches === undefined ? [] : [{ channel, name: one.attribute, stretches }];
    }),
  );
const rows = [...library.values(), ...imported].flatMap((type) =>
  type.modes
    .filter((mode) => isDriven({ type, mode }))
    .flatMap((mode) =>
      steppedIn(workedMode(mode, type)).map((stepped) => ({
        what: `${stepped.name} of ${type.id} ${mode.id}`,
        type,
        mode,
        ...stepped,
      })),
    ),
);

function lampOf(type: FixtureType, mode: Mode, part = 0) {
  const lamp = { ...place('lamp', type.id, mode.id, 1), use: type.kind ?? ('uplight' as const) };
  const { rig } = compileShow(tinyShow({ ...(library.has(type.id) ? {} : { fixtureTypes: [type] }), fixtures: [lamp] }));
  const levels = new Levels(rig.universes);
  const encoder = Encoder.for(rig, levels);
  const cell = (name: AttributeName): number =>
    rig.byId
      .get('lamp')
      ?.lamps.find((one) => one.part === part)
      ?.cells.get(name) ?? -1;
  return {
    decoder: new Decoder(rig),
    cell,
    slots(name: AttributeName, value: number): Uint8Array {
      const frame = Float64Array.from(rig.rest);
      frame[cell(name)] = value;
      encoder.encode(frame);
      return levels.snapshot(1);
    },
  };
}

describe('every place of a wheel, a prism or a shutter', () => {
  it('is looked at', () => {
    const found = new Set(rows.map(({ name }) => name));
    for (const name of ['Color1', 'Gobo1', 'Prism1', 'Shutter1'] as const) expect(found).toContain(name);
    expect(rows.length).toBeGreaterThan(20);
  });

  it.each(rows)('is reached, and read back from the slots: $what', ({ type, mode, channel, name, stretches }) => {
    const { decoder, cell, slots } = lampOf(type, mode, channel.part);
    const [reader] = decoder.channels(1, channel.slot);
    for (const { slot } of stretches) {
      // What is open at rest leaves a channel that it shares to what is asked of that.
      const isShared =
        channel.functions[channel.initial ?? 0]?.attribute !== name || channel.functions.some((one) => one.attribute === 'Dimmer');
      if (name === 'Shutter1' && slot === attribute(name).rest && isShared) continue;
      const written = slots(name, slot);
      const value = reader?.valueIn(written) ?? Number.NaN;
      expect(stretches.some((one) => one.slot === slot && value >= one.from && value <= one.to)).toBe(true);
      const read = new Map(reader?.decode(value, () => written));
      expect(read.get(cell(name))).toBe(slot);
    }
  });

  it.each(rows.filter(({ name }) => attribute(name).unit === 'slot'))(
    'has a slot that is told, where any is: $what',
    ({ type, name, stretches }) => {
      const wheel = type.wheels[name as 'Color1'];
      if (wheel !== undefined) for (const { slot } of stretches) expect(slot).toBeLessThanOrEqual(wheel.length);
    },
  );
});

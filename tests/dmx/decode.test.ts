import { describe, expect, it } from 'vitest';
import { attributes } from '../../node/core/attributes.ts';
import { Levels } from '../../node/core/levels.ts';
import { Decoder } from '../../node/dmx/decode.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { library } from '../../node/rig/library.ts';
import { layOut } from '../../node/rig/rig.ts';
import type { Show } from '../../node/show/document.ts';
import { levelOf } from '../helpers/lightness.ts';
import { place, tinyShow } from '../helpers/tiny-show.ts';

/** A show whose slots can be read into a frame and written out again. */
function reader(show: Show) {
  const { rig } = compileShow(show);
  const levels = new Levels(rig.universes);
  const encoder = Encoder.for(rig, levels);
  const decoder = new Decoder(rig);
  return {
    rig,
    decoder,
    /** Cells of the first channel at a slot, by attribute. */
    read: (slot: number, value: number) =>
      Object.fromEntries((decoder.channels(1, slot)[0]?.decode(value) ?? []).map(([cell, what]) => [rig.attributeOf[cell], what])),
    /** The slots of a frame in which nothing is asked for but these cells. */
    write(cells: readonly (readonly [number, number])[]): Uint8Array {
      const frame = Float64Array.from(rig.rest);
      for (const [cell, value] of cells) frame[cell] = value;
      encoder.encode(frame);
      return levels.snapshot(1);
    },
  };
}

/** Expected values worked out by hand from the layouts of the library and GDTF's line from DMX to physical values (DIN SPEC 15800). */
describe('a slot that is read back', () => {
  const par = reader(tinyShow({ fixtures: [place('lamp', 'rgbw-par', '6ch', 1)] }));
  const head = reader(tinyShow({ fixtures: [place('lamp', 'spot-head', '12ch', 1)] }));

  it('says what its channel does', () => {
    expect(par.read(1, 51)).toEqual({ Dimmer: expect.closeTo(levelOf(0.2), 6) });
    expect(par.read(2, 255)).toEqual({ ColorAdd_R: 1 });
    // 1 to 20 Hz over 8..255.
    expect(par.read(6, 255)).toEqual({ Shutter1Strobe: 20 });
    expect(par.read(6, 0)).toEqual({ Shutter1Strobe: 0 });
  });

  it('gives the job of its range a value, and lets the other jobs of the channel rest', () => {
    expect(head.read(5, 0)).toEqual({ Shutter1: 0, Shutter1Strobe: 0 });
    expect(head.read(5, 31)).toEqual({ Shutter1: 1, Shutter1Strobe: 0 });
    expect(head.read(5, 255)).toEqual({ Shutter1: 1, Shutter1Strobe: 20 });
    // No job has what lies between.
    expect(head.read(5, 50)).toEqual({ Shutter1: 1, Shutter1Strobe: 0 });
  });

  it('is one byte of a channel of two, which are read together', () => {
    const [pan] = head.decoder.channels(1, 2);
    expect(pan).toBe(head.decoder.channels(1, 1)[0]);
    const slots = new Uint8Array(512);
    slots.set([0xaa, 0xaa]);
    // 43690 of 65535 are two thirds of the way from -270 to 270.
    expect(pan?.decode(pan.valueIn(slots)).map(([, value]) => value)).toEqual([expect.closeTo(90, 9)]);
  });

  it('names the slot of a wheel', () => {
    // Eight slots over 256 values, 32 each.
    expect([0, 31, 32, 255].map((value) => head.read(8, value).Color1)).toEqual([1, 1, 2, 8]);
  });

  it('is nothing where no fixture has it, and several things where two have it', () => {
    expect(par.decoder.channels(1, 100)).toEqual([]);
    const both = layOut(['a', 'b'].flatMap((id) => par.rig.fixtures.map((one) => ({ ...one, id }))));
    expect(new Decoder(both).channels(1, 1).map(({ fixture }) => fixture)).toEqual(['a', 'b']);
  });

  it('takes inverted and swapped axes, and a lamp that is held back, to what the show would have asked for', () => {
    const spot = reader(
      tinyShow({ fixtures: [{ ...place('lamp', 'spot-head', '12ch', 1), invert: { pan: true }, swapPanTilt: true, dim: 0.5 }] }),
    );
    expect(spot.read(1, 0xaaaa).Tilt).toBeCloseTo(-90, 9);
    // Twice its light at full.
    expect(spot.read(6, 0xffff).Dimmer).toBeCloseTo(levelOf(2), 6);
    expect([...spot.write(spot.decoder.channels(1, 6)[0]?.decode(0xffff) ?? []).subarray(5, 7)]).toEqual([255, 255]);
  });
});

/** Ends of ranges, their neighbours, and some between. */
const bytes = [...new Set([0, 1, 7, 8, 31, 32, 63, 64, 127, 128, 199, 200, 254, ...Array.from({ length: 18 }, (_, i) => 15 * i)])];
const modes = [...library.values()].flatMap((type) => type.modes.map((mode) => ({ what: `${type.id} ${mode.id}`, type, mode })));

describe('what is read from a slot', () => {
  it.each(modes)('writes the same slot, or another that means the same: $what', ({ type, mode }) => {
    const { rig, decoder, write } = reader(tinyShow({ fixtures: [place('lamp', type.id, mode.id, 1)] }));
    for (const channel of mode.channels) {
      const [one] = decoder.channels(1, channel.slot);
      if (one === undefined) throw new Error(`no channel at ${channel.slot}`);
      const fine = channel.fine !== undefined;
      for (const byte of bytes) {
        const value = fine ? byte * 257 : byte;
        const cells = one.decode(value);
        const written = one.valueIn(write(cells));
        expect(one.decode(written)).toEqual(cells);
        const job = channel.functions.find(({ from, to }) => value >= from && value <= to);
        if (job === undefined || job.attribute === 'NoFeature' || job.curve !== 'linear') continue;
        // A wheel has stretches of values that mean the same; what is at rest leaves the channel to its first job.
        const { unit, rest } = attributes[job.attribute];
        const held = cells.find(([cell]) => rig.attributeOf[cell] === job.attribute)?.[1];
        if (unit !== 'slot' && (held !== rest || channel.functions[0] === job)) expect(written).toBe(value);
      }
    }
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AttributeName } from '../../node/core/attributes.ts';
import { Levels } from '../../node/core/levels.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import { compileShow } from '../../node/playback/compile.ts';
import type { FixtureTypeInput } from '../../node/rig/fixture-type.ts';
import type { Show } from '../../node/show/document.ts';
import { levelOf } from '../helpers/lightness.ts';
import { dimmer, head, par, place, tinyShow } from '../helpers/tiny-show.ts';

type Values = Readonly<Partial<Record<AttributeName, number>>>;
type Channels = FixtureTypeInput['modes'][number]['channels'];

/** Slots of universe 1, from a frame at rest but for these values of the fixture `lamp`. */
function encoded(show: Show, values: Values, universe = 1): Uint8Array {
  const { rig } = compileShow(show);
  const levels = new Levels(rig.universes);
  const frame = Float64Array.from(rig.rest);
  for (const [name, value] of Object.entries(values)) {
    const cell = rig.byId.get('lamp')?.lamps[0].cells.get(name as AttributeName);
    if (cell === undefined) throw new Error(`no ${name}`);
    frame[cell] = value;
  }
  Encoder.for(rig, levels).encode(frame);
  return levels.snapshot(universe);
}

const lamp = (type: string, mode: string) => tinyShow({ fixtures: [place('lamp', type, mode, 1)] });
const own = (channels: Channels) =>
  tinyShow({
    fixtureTypes: [{ id: 'own', name: 'Own', modes: [{ id: 'm', name: 'M', channels }] }],
    fixtures: [place('lamp', 'own', 'm', 1)],
  });
const head12 = lamp('beam-head', '12ch');
const spot = lamp('spot-head', '12ch');

/**
 * GDTF, DIN SPEC 15800:2022-02: physical = from + (to - from) * (dmx - dmxFrom) / (dmxTo - dmxFrom). Expected slots
 * are that line turned round and worked out by hand, to the nearest step.
 */
describe('a channel of 8 bits', () => {
  // A zoom of 4 to 45 degrees over 0..255: (14.25 - 4) / 41 * 255 = 63.75.
  it.each([
    [4, 0],
    [45, 255],
    [14.25, 64],
    [34.75, 191],
    [24.418, 127],
  ])('holds a zoom of %d degrees as %i', (degrees, slot) => {
    expect(encoded(head12, { Zoom: degrees })[11]).toBe(slot);
  });

  it.each([
    [-30, 0],
    [3.99, 0],
    [45.01, 255],
    [1e9, 255],
  ])('is held at its end for a zoom of %d degrees, which it does not have', (degrees, slot) => {
    expect(encoded(head12, { Zoom: degrees })[11]).toBe(slot);
  });

  // Slow to fast, 1 to 20 Hz over 8..255: 8 + (5.75 - 1) / 19 * 247 = 69.75; 70 would flash faster.
  // Slower than it can it does not flash.
  it.each([
    [0, 0],
    [1, 8],
    [20, 255],
    [5.75, 69],
    [0.99, 0],
    [25, 255],
  ])('strobes at %d Hz with %i, and lies open at 0', (hertz, slot) => {
    expect(encoded(lamp('rgbw-par', '6ch'), { Shutter1Strobe: hertz })[5]).toBe(slot);
  });

  it('may run backwards', () => {
    const show = own([{ slot: 1, functions: [{ attribute: 'Zoom', physical: [50, 10] }] }]);
    expect([50, 10, 20, 60].map((degrees) => encoded(show, { Zoom: degrees })[0])).toEqual([0, 255, 191, 0]);
  });
});

describe('a channel of 16 bits', () => {
  /** Coarse and fine together. */
  const wide = (slots: Uint8Array, coarse: number) => (slots[coarse - 1] ?? 0) * 256 + (slots[coarse] ?? 0);

  // Pan -270..270: 90 degrees are 2/3 of the way, 65535 * 2 / 3 = 43690.
  it.each([
    [-270, 0],
    [270, 65535],
    [0, 32768],
    [90, 43690],
    [-90, 21845],
    [-300, 0],
    [300, 65535],
  ])('holds a pan of %d degrees as %i', (degrees, value) => {
    expect(wide(encoded(head12, { Pan: degrees }), 1)).toBe(value);
  });

  // Tilt -135..135: 81 degrees are 4/5 of the way, 52428.
  it.each([
    [-135, 0],
    [135, 65535],
    [0, 32768],
    [81, 52428],
    [-81, 13107],
  ])('holds a tilt of %d degrees as %i', (degrees, value) => {
    expect(wide(encoded(head12, { Tilt: degrees }), 3)).toBe(value);
  });

  it('writes the high byte into the coarse slot and the low one into the fine', () => {
    // 0.25 of 65535 is 16383.75, 0x4000.
    expect([...encoded(head12, { Dimmer: levelOf(0.25) }).subarray(4, 6)]).toEqual([0x40, 0x00]);
    // 0.002 of it is 131.07, 0x0083: a light that 8 bits would give one step.
    expect([...encoded(head12, { Dimmer: levelOf(0.002) }).subarray(4, 6)]).toEqual([0x00, 0x83]);
  });

  it('has ranges at its own resolution', () => {
    const show = own([
      {
        slot: 1,
        fine: 2,
        functions: [
          { attribute: 'NoFeature', to: 0x807f },
          { attribute: 'Zoom', from: 0x8080, physical: [10, 50] },
        ],
      },
    ]);
    expect(wide(encoded(show, { Zoom: 10 }), 1)).toBe(0x8080);
    expect(wide(encoded(show, { Zoom: 50 }), 1)).toBe(0xffff);
    // 32896 + (65535 - 32896) / 4 = 41055.75.
    expect(wide(encoded(show, { Zoom: 20 }), 1)).toBe(41056);
  });

  it('passes through far more than 256 values in a fade', () => {
    const show = lamp('six-colour-par', '9ch-fine');
    const { rig } = compileShow(show);
    const levels = new Levels(rig.universes);
    const encoder = Encoder.for(rig, levels);
    const frame = Float64Array.from(rig.rest);
    const seen = new Set<number>();
    // A fade of ten seconds at 40 frames a second.
    for (let i = 0; i <= 400; i++) {
      frame[rig.byId.get('lamp')?.lamps[0].cells.get('Dimmer') ?? -1] = i / 400;
      encoder.encode(frame);
      seen.add(wide(levels.snapshot(1), 1));
    }
    expect(seen.size).toBe(401);
  });

  it('is never more than half a step from what GDTF says', () => {
    const angle = fc.double({ min: -270, max: 270, noNaN: true });
    fc.assert(
      fc.property(angle, (degrees) => {
        const dmx = wide(encoded(head12, { Pan: degrees }), 1);
        expect(Math.abs(-270 + (540 * dmx) / 65535 - degrees)).toBeLessThanOrEqual(540 / 65535 / 2 + 1e-9);
      }),
      { numRuns: 50 },
    );
  });
});

describe('a channel with several jobs', () => {
  // The spot's shutter: closed to open over 0..31, strobe 0.5 to 20 Hz over 64..255.
  it('is open, closed or strobing, as the frame has it', () => {
    const shutter = (values: Values) => encoded(spot, values)[4];
    expect(shutter({})).toBe(31);
    expect(shutter({ Shutter1: 0 })).toBe(0);
    expect(shutter({ Shutter1Strobe: 20 })).toBe(255);
    expect(shutter({ Shutter1Strobe: 0.5 })).toBe(64);
    // 64 + (10.25 - 0.5) / 19.5 * 191 = 159.5: either neighbour is as near.
    expect([159, 160]).toContain(shutter({ Shutter1Strobe: 10.25 }));
  });

  it('does not strobe open what is closed', () => {
    expect(encoded(spot, { Shutter1: 0, Shutter1Strobe: 10 })[4]).toBe(0);
    const both = own([
      {
        slot: 1,
        functions: [
          { attribute: 'Dimmer', to: 127 },
          { attribute: 'Shutter1Strobe', from: 128, physical: [1, 20] },
        ],
      },
    ]);
    expect(encoded(both, { Dimmer: 1 })[0]).toBe(127);
    expect(encoded(both, { Dimmer: 1, Shutter1Strobe: 20 })[0]).toBe(255);
    expect(encoded(both, { Dimmer: 0, Shutter1Strobe: 20 })[0]).toBe(0);
  });
});

describe('a wheel', () => {
  // Eight slots over 0..255 take 32 values each: the middles are 16, 48, 80 ... A wheel whose places nobody has told has more or fewer than that; it
  // is open at 0 all the same (common practice, no source).
  it('stands in the middle of the stretch of each slot, and at 0 where that is only dealt out', () => {
    const stands = [1, 2, 3, 4, 5, 6, 7, 8].map((slot) => encoded(spot, { Gobo1: slot })[8]);
    expect(stands).toEqual([0, 48, 80, 112, 144, 176, 208, 240]);
  });

  it('stands at its last slot for one that it does not have', () => {
    expect([0, -5, 9, 64].map((slot) => encoded(spot, { Gobo1: slot })[8])).toEqual([0, 0, 240, 240]);
  });

  it('keeps a prism out whose places nobody has told', () => {
    const typed = own([{ slot: 1, functions: [{ attribute: 'Prism1', physical: [0, 1] }] }]);
    expect([0, 1].map((slot) => encoded(typed, { Prism1: slot })[0])).toEqual([0, 192]);
  });

  it('shares out the range that it is given, whichever way it counts', () => {
    // Five slots over 50..149, 20 values each.
    const up = own([{ slot: 1, functions: [{ attribute: 'Gobo1', from: 50, to: 149, physical: [1, 5] }] }]);
    expect([1, 2, 5].map((slot) => encoded(up, { Gobo1: slot })[0])).toEqual([60, 80, 140]);
    const down = own([{ slot: 1, functions: [{ attribute: 'Gobo1', from: 50, to: 149, physical: [5, 1] }] }]);
    expect([1, 2, 5].map((slot) => encoded(down, { Gobo1: slot })[0])).toEqual([140, 120, 60]);
  });
});

describe('colour', () => {
  it('of a lamp without a dimmer is scaled through its emitters', () => {
    const bare = lamp('rgb-par', '3ch');
    const [red = 0, green = 0, blue = 0] = encoded(bare, { Dimmer: 1 });
    // GDTF annex B's red, green and blue at full make very nearly D65: the last is blue, and full.
    expect(Math.min(red, green)).toBeGreaterThanOrEqual(252);
    expect(blue).toBe(255);
    const dimmed = [...encoded(bare, { Dimmer: levelOf(0.4) }).subarray(0, 3)];
    for (const [i, full] of [red, green, blue].entries()) expect(Math.abs((dimmed[i] ?? 0) - 0.4 * full)).toBeLessThanOrEqual(1);
    expect([...encoded(bare, {}).subarray(0, 3)]).toEqual([0, 0, 0]);
  });

  it('of a lamp with a dimmer stands at its brightest beside it, the white emitter among what makes white', () => {
    const [dimmer, ...mixed] = encoded(lamp('rgbw-par', '6ch'), { Dimmer: levelOf(0.4) }).subarray(0, 5);
    expect(dimmer).toBe(102);
    expect(mixed[3]).toBe(255);
    expect(Math.min(...mixed)).toBeGreaterThanOrEqual(250);
  });

  it('never touches the UV of a lamp', () => {
    const slots = encoded(lamp('six-colour-par', '8ch'), { Dimmer: 1, ColorAdd_UV: levelOf(0.2) });
    expect(slots[6]).toBe(51);
    expect(encoded(lamp('six-colour-par', '8ch'), { Dimmer: 1 })[6]).toBe(0);
  });
});

describe('the patch', () => {
  it('puts every fixture where it is patched, in its own universe, and every other slot stays 0', () => {
    const show = tinyShow({ fixtures: [par('lamp', 100), dimmer('other', 512), { ...head('far', 501), universe: 3 }] });
    const first = encoded(show, { Dimmer: 1, Shutter1Strobe: 20 });
    const third = encoded(show, { Dimmer: 1 }, 3);
    const used = (slots: Uint8Array) => [...slots.keys()].filter((i) => slots[i] !== 0).map((i) => i + 1);
    // Dimmer, four emitters for white and the strobe of the par; the other lamp is dark.
    expect(used(first)).toEqual([100, 101, 102, 103, 104, 105]);
    // The head at rest: pan and tilt in the middle (0x8000), shutter open, white of four emitters, zoom at its narrow end.
    expect(used(third)).toEqual([501, 503, 507, 508, 509, 510, 511]);
    expect(third[500]).toBe(0x80);
  });

  it('lights both lamps of a blinder from one level', () => {
    expect([...encoded(lamp('blinder-pair', '2ch'), { Dimmer: levelOf(0.6) }).subarray(0, 3)]).toEqual([153, 153, 0]);
  });

  it('writes a whole frame before readers may take it', () => {
    const { rig } = compileShow(head12);
    const levels = new Levels(rig.universes);
    Encoder.for(rig, levels).encode(rig.rest);
    expect(levels.frames()).toBe(1);
  });

  it('takes any numbers that a frame may hold, and writes nothing outside the patch', () => {
    const show = tinyShow({
      fixtures: [place('lamp', 'spot-head', '12ch', 200), place('other', 'six-colour-par', '9ch-fine', 300)],
    });
    const { rig } = compileShow(show);
    const levels = new Levels(rig.universes);
    const encoder = Encoder.for(rig, levels);
    const anyNumber = fc.oneof(fc.double({ min: -1000, max: 1000 }), fc.double());
    fc.assert(
      fc.property(fc.array(anyNumber, { minLength: rig.rest.length, maxLength: rig.rest.length }), (values) => {
        encoder.encode(Float64Array.from(values));
        const slots = levels.snapshot(1);
        expect(slots.every((value, i) => value === 0 || (i >= 199 && i < 211) || (i >= 299 && i < 308))).toBe(true);
      }),
    );
  });
});

describe('a lamp that is told how it dims', () => {
  const dimmed = (dimming: unknown, level: number, channels: object[]) => {
    const show = tinyShow({
      fixtureTypes: [{ id: 'own', name: 'Own', dimming, modes: [{ id: 'm', name: 'M', channels }] }] as never,
      fixtures: [place('lamp', 'own', 'm', 1)],
    });
    return encoded(show, { Dimmer: level });
  };
  const one = [{ slot: 1, functions: [{ attribute: 'Dimmer' }] }];

  /** Light is lightness by CIE 15. Square law (IESNA Lighting Handbook) 0.09 → 0.3, 0.81 → 0.9; S-curve 0.15625 → 0.25, 0.5 → 0.5. */
  it.each([
    ['linear', 0.01, 0.01],
    ['linear', 0.81, 0.81],
    ['square', 0.09, 0.3],
    ['square', 0.81, 0.9],
    ['s', 0.15625, 0.25],
    ['s', 0.5, 0.5],
    [[0, 0.1, 1], 0.05, 0.25],
    [[0, 0.1, 1], 0.55, 0.75],
  ] as const)('%s, to give %d of its light gets %d of its values', (dimming, light, share) => {
    expect(dimmed(dimming, levelOf(light), one)[0]).toBe(Math.round(share * 255));
  });

  it('is told so by the patch where its own menu makes it another', () => {
    const show = tinyShow({ fixtures: [{ ...place('lamp', 'dimmer', '1ch', 1), dimming: 'square' }] });
    expect(encoded(show, { Dimmer: levelOf(0.36) })[0]).toBe(153);
  });

  // What its menu says stands for the DMX profile of its kind, not on top of it: 0.36 is 92 of 255, and by the square law 153.
  it.each([
    [undefined, 153],
    ['linear', 92],
    ['square', 153],
  ] as const)('has its own menu, %s, in place of what its kind has on the channel', (dimming, slot) => {
    const channels = [{ slot: 1, functions: [{ attribute: 'Dimmer', curve: 'square' }] }];
    const show = tinyShow({
      fixtureTypes: [{ id: 'own', name: 'Own', modes: [{ id: 'm', name: 'M', channels }] }] as never,
      fixtures: [{ ...place('lamp', 'own', 'm', 1), ...(dimming && { dimming }) }],
    });
    expect(encoded(show, { Dimmer: levelOf(0.36) })[0]).toBe(slot);
  });

  it('dims evenly through its emitters as well, where it has no dimmer', () => {
    const emitters = ['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'].map((attribute, i) => ({
      slot: i + 1,
      functions: [{ attribute }],
    }));
    for (const [dimming, share] of [
      ['linear', 0.25],
      ['square', 0.5],
    ] as const) {
      const [full, quarter] = [dimmed(dimming, 1, emitters), dimmed(dimming, levelOf(0.25), emitters)];
      for (let i = 0; i < 3; i++) expect(Math.abs((quarter[i] ?? 0) - (full[i] ?? 0) * share)).toBeLessThanOrEqual(1);
    }
  });

  it('is dark below half its first step, and never goes back on the way down', () => {
    expect([0.49, 0.51, 1].map((steps) => dimmed('linear', levelOf(steps / 255), one)[0])).toEqual([0, 1, 1]);
    expect(dimmed('linear', 0, one)[0]).toBe(0);
  });
});

describe('two jobs with one attribute', () => {
  it('share the channel out by their ranges, and none flashes faster than is asked', () => {
    const show = own([
      {
        slot: 1,
        functions: [
          { attribute: 'NoFeature', to: 9 },
          { attribute: 'Shutter1Strobe', from: 10, to: 110, physical: [1, 5] },
          { attribute: 'Shutter1Strobe', from: 120, to: 220, physical: [5, 25] },
        ],
      },
    ]);
    // GDTF's linear mapping: 10 + 100 × (3 - 1) / 4, and 120 + 100 × (15 - 5) / 20.
    expect([3, 15, 0.5].map((hertz) => encoded(show, { Shutter1Strobe: hertz })[0])).toEqual([60, 170, 0]);
  });
});

describe('a slot driven by hand', () => {
  it('stands over the frame, and returns to it or, where nobody owns it, to nothing', () => {
    const { rig } = compileShow(lamp('dimmer', '1ch'));
    const levels = new Levels(rig.universes);
    const encoder = Encoder.for(rig, levels);
    const frame = Float64Array.from(rig.rest);
    encoder.encode(frame, [
      { universe: 1, slot: 1, value: 9 },
      { universe: 1, slot: 300, value: 77 },
      { universe: 2, slot: 1, value: 5 },
    ]);
    expect([levels.slots(1)[0], levels.slots(1)[299]]).toEqual([9, 77]);
    encoder.encode(frame);
    expect([...levels.slots(1)].every((value) => value === 0)).toBe(true);
  });
});

describe('an emitter that is driven directly', () => {
  // The par with six channels: dimmer, red, green, blue, white, strobe; the one with three: red, green, blue.
  it.each([
    { type: 'rgbw-par', mode: '6ch', slot: 3 },
    { type: 'rgb-par', mode: '3ch', slot: 2 },
  ])('gives its level while the others follow the colour: $type', ({ type, mode, slot }) => {
    const white = { ColourL: 1, Dimmer: 1 };
    const expected = encoded(lamp(type, mode), white);
    expected[slot - 1] = 51;
    expect(encoded(lamp(type, mode), { ...white, ColorAdd_G: 0.2 })).toEqual(expected);
  });

  it('is no darker where brightness acts through the emitters', () => {
    expect([...encoded(lamp('rgb-par', '3ch'), { ColourL: 1, Dimmer: 0, ColorAdd_R: 0.4 }).subarray(0, 3)]).toEqual([102, 0, 0]);
  });
});

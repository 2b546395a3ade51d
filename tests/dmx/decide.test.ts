import { describe, expect, it } from 'vitest';
import type { AttributeName } from '../../node/core/attributes.ts';
import { Levels } from '../../node/core/levels.ts';
import { Decoder } from '../../node/dmx/decode.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import { compileShow } from '../../node/playback/compile.ts';
import type { FixtureTypeInput } from '../../node/rig/fixture-type.ts';
import { place, tinyShow } from '../helpers/tiny-show.ts';

type Channels = FixtureTypeInput['modes'][number]['channels'];
type Values = Readonly<Partial<Record<AttributeName, number>>>;

/** A lamp of these channels, its slots for any values. One encoder for all: what came before must not matter. */
function lampOf(channels: Channels, more: Partial<FixtureTypeInput> = {}) {
  const show = tinyShow({
    fixtureTypes: [{ id: 'own', name: 'Own', modes: [{ id: 'm', name: 'M', channels }], ...more }],
    fixtures: [{ ...place('lamp', 'own', 'm', 1), use: more.kind ?? 'uplight' }],
  });
  const { rig } = compileShow(show);
  const levels = new Levels(rig.universes);
  const encoder = Encoder.for(rig, levels);
  const cells = rig.byId.get('lamp')?.lamps[0].cells;
  const frameOf = (values: Values) => {
    const frame = Float64Array.from(rig.rest);
    for (const [name, value] of Object.entries(values)) frame[cells?.get(name as AttributeName) ?? -1] = value;
    return frame;
  };
  return {
    slots: (values: Values, exact: Parameters<Encoder['encode']>[1] = []): number[] => {
      encoder.encode(frameOf(values), exact);
      return [...levels.snapshot(1).subarray(0, channels.length)];
    },
    rest: (name: AttributeName) => rig.rest[cells?.get(name) ?? -1],
    decoder: new Decoder(rig),
    rig,
  };
}

/** Control: 0 to 99 for the zoom, 100 to 199 for the iris, and it stands at 10. Zoom and iris share slot 2; slot 3 is frost. */
const shared: Channels = [
  { slot: 1, default: 10, functions: [{ attribute: 'NoFeature' }] },
  {
    slot: 2,
    default: 30,
    functions: [
      { attribute: 'Zoom', physical: [0, 51], when: { slot: 1, from: 0, to: 99 } },
      { attribute: 'Iris', physical: [1, 0], when: { slot: 1, from: 100, to: 199 } },
    ],
  },
  { slot: 3, default: 0, functions: [{ attribute: 'Frost1', when: { slot: 1, from: 100, to: 199 } }] },
];

/** GDTF, DIN SPEC 15800:2022-02, table 60: a function with a ModeMaster works while that stands between ModeFrom and ModeTo. */
describe('a function that hangs on another channel', () => {
  it('leaves its master where it stands, if that will do', () => {
    expect(lampOf(shared).slots({ Zoom: 40 })).toEqual([10, 200, 0]);
  });

  it('drives its master into the middle of what it needs', () => {
    expect(lampOf(shared).slots({ Iris: 0 })).toEqual([150, 255, 0]);
    expect(lampOf(shared).slots({ Iris: 0, Frost1: 0.2 })).toEqual([150, 255, 51]);
  });

  it('of a lower slot goes first where two need different things, and the other gives its channel up', () => {
    expect(lampOf(shared).slots({ Zoom: 40, Frost1: 0.2 })).toEqual([10, 200, 0]);
  });

  it('gives the same slots for the same frame, whatever came before', () => {
    const lamp = lampOf(shared);
    const asked: Values[] = [{}, { Zoom: 40 }, { Iris: 0 }, { Frost1: 1 }, { Zoom: 40, Iris: 0 }, { Iris: 0.5, Frost1: 0.5 }];
    const once = asked.map((values) => lampOf(shared).slots(values));
    for (const [i, values] of asked.entries())
      for (const before of asked) {
        lamp.slots(before);
        expect(lamp.slots(values)).toEqual(once[i]);
      }
  });

  it('is read back by what its master stands at', () => {
    const { decoder, rig } = lampOf(shared);
    const [reader] = decoder.channels(1, 2);
    const read = (control: number) =>
      (reader?.decode(51, () => Uint8Array.of(control, 51, 0)) ?? []).map(([cell, value]) => [rig.attributeOf[cell], value]);
    // A fifth of 51 degrees; and of the way from open to closed.
    expect(read(50)).toContainEqual(['Zoom', expect.closeTo(10.2, 9)]);
    expect(read(150)).toContainEqual(['Iris', expect.closeTo(0.8, 9)]);
    expect(read(250)).toEqual([
      ['Zoom', 6],
      ['Iris', 1],
    ]);
  });

  it('gets what it needs through a chain of masters', () => {
    const chain: Channels = [
      { slot: 1, default: 0, functions: [{ attribute: 'Frost1', when: { slot: 2, from: 50, to: 59 } }] },
      {
        slot: 2,
        default: 0,
        functions: [
          { attribute: 'NoFeature', to: 49 },
          { attribute: 'NoFeature', from: 50, to: 255, when: { slot: 3, from: 200, to: 255 } },
        ],
      },
      { slot: 3, default: 7, functions: [{ attribute: 'NoFeature' }] },
    ];
    expect(lampOf(chain).slots({})).toEqual([0, 0, 7]);
    expect(lampOf(chain).slots({ Frost1: 1 })).toEqual([255, 55, 228]);
  });

  it('in a ring, or on a channel that is not there, gives its channel up', () => {
    const ring: Channels = [
      { slot: 1, default: 3, functions: [{ attribute: 'Frost1', when: { slot: 2, from: 9, to: 9 } }] },
      { slot: 2, default: 4, functions: [{ attribute: 'Focus1', when: { slot: 1, from: 9, to: 9 } }] },
      { slot: 3, default: 5, functions: [{ attribute: 'Zoom', when: { slot: 77, from: 0, to: 9 } }] },
    ];
    const slots = lampOf(ring).slots({ Frost1: 1, Zoom: 1 });
    expect(slots[2]).toBe(5);
    expect(slots).toEqual(lampOf(ring).slots({ Frost1: 1, Zoom: 1 }));
  });

  const emitters = (when: NonNullable<Channels[number]['functions'][number]['when']>): Channels =>
    (['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'] as const).map((attribute, i) => ({
      slot: i + 2,
      default: 255,
      functions: [{ attribute, when }],
    }));

  it('that is an emitter always asks for its master', () => {
    const lamp = lampOf([
      { slot: 1, default: 0, functions: [{ attribute: 'NoFeature' }] },
      ...emitters({ slot: 1, from: 20, to: 39 }),
      { slot: 5, functions: [{ attribute: 'Dimmer' }] },
    ]);
    expect(lamp.slots({ Dimmer: 1, ColorAdd_R: 0.2, ColorAdd_G: 0, ColorAdd_B: 0 })).toEqual([30, 51, 0, 0, 255]);
  });

  it('goes behind what is asked of the master itself', () => {
    const wheel: Channels = [
      {
        slot: 1,
        default: 0,
        functions: [
          {
            attribute: 'Color1',
            stretches: [
              { slot: 1, from: 0, to: 19 },
              { slot: 2, from: 20, to: 39 },
              { slot: 3, from: 40, to: 255 },
            ],
          },
        ],
      },
      ...emitters({ slot: 1, from: 20, to: 39 }),
      { slot: 5, functions: [{ attribute: 'Dimmer' }] },
    ];
    expect(lampOf(wheel).slots({ Dimmer: 1, Color1: 3 }).slice(0, 4)).toEqual([148, 255, 255, 255]);
    expect(lampOf(wheel).slots({ Dimmer: 1 })[0]).toBe(30);
  });

  it('does not open what keeps the light in, and begins nothing that a person must watch', () => {
    const gated = (functions: Channels[number]['functions']): Channels => [
      { slot: 1, default: 0, functions },
      { slot: 2, default: 0, functions: [{ attribute: 'Frost1', when: { slot: 1, from: 200, to: 255 } }] },
    ];
    const dimmer = gated([{ attribute: 'Dimmer' }]);
    expect(lampOf(dimmer).slots({ Frost1: 1 })).toEqual([0, 0]);
    const strobe = gated([
      { attribute: 'NoFeature', to: 99 },
      { attribute: 'Shutter1Strobe', from: 100, physical: [1, 20] },
    ]);
    expect(lampOf(strobe).slots({ Frost1: 1 })).toEqual([0, 0]);
  });

  it('leaves emitters dark that may not work, where nothing else dims them', () => {
    const bare: Channels = [
      {
        slot: 1,
        default: 0,
        functions: [
          {
            attribute: 'Shutter1',
            stretches: [
              { slot: 0, from: 0, to: 9 },
              { slot: 1, from: 10, to: 255 },
            ],
          },
        ],
      },
      ...emitters({ slot: 1, from: 200, to: 255 }),
    ];
    expect(lampOf(bare).slots({ Dimmer: 1, Shutter1: 0 })).toEqual([5, 0, 0, 0]);
  });
});

describe('a channel of which nothing is asked', () => {
  // Table 58, InitialFunction; table 60, Default.
  it('stands at its default, and its attribute with it', () => {
    const lamp = lampOf([
      { slot: 1, default: 51, functions: [{ attribute: 'Zoom', physical: [5, 56] }] },
      {
        slot: 2,
        default: 77,
        initial: 1,
        functions: [
          { attribute: 'Focus1', to: 49 },
          { attribute: 'NoFeature', from: 50 },
        ],
      },
      { slot: 3, default: 255, functions: [{ attribute: 'Dimmer' }] },
      { slot: 4, default: 200, functions: [{ attribute: 'Haze1' }] },
      { slot: 5, default: 3, functions: [{ attribute: 'Shutter1Strobe', physical: [1, 20] }] },
    ]);
    expect(lamp.slots({})).toEqual([51, 77, 0, 0, 3]);
    expect(lamp.rest('Zoom')).toBeCloseTo(15.2, 9);
    expect(lamp.rest('Haze1')).toBe(0);
    // Asked for where it rests already it stands still.
    expect(lamp.slots({ Zoom: 15.2 })[0]).toBe(51);
  });

  it('of a wheel that stands at none of its places can be turned to all of them', () => {
    const stretches = [1, 2, 3].map((slot) => ({ slot, from: 20 * slot, to: 20 * slot + 19 }));
    const lamp = lampOf([{ slot: 1, default: 5, functions: [{ attribute: 'Gobo1', from: 20, to: 79, stretches }] }]);
    expect(lamp.rest('Gobo1')).toBe(0);
    expect([{}, { Gobo1: 1 }, { Gobo1: 2 }, { Gobo1: 3 }, { Gobo1: 9 }].map((values) => lamp.slots(values)[0])).toEqual([
      5, 30, 50, 70, 70,
    ]);
  });
});

describe('a laser', () => {
  const scanner: Channels = [
    { slot: 1, default: 90, functions: [{ attribute: 'NoFeature' }] },
    { slot: 2, default: 128, functions: [{ attribute: 'Pan', physical: [-25, 25] }] },
  ];
  const laser = { kind: 'laser' } as const;

  it('that nothing is known to close is not driven, by hand neither', () => {
    const lamp = lampOf(scanner, laser);
    expect(lamp.slots({})).toEqual([0, 0]);
    expect(lamp.slots({ Pan: 25 }, [{ universe: 1, slot: 1, value: 200 }])).toEqual([0, 0]);
    expect(lampOf(scanner).slots({})).toEqual([90, 128]);
  });

  it.each([
    ['a dimmer', { attribute: 'Dimmer' }, true],
    [
      'a shutter with a closed place',
      {
        attribute: 'Shutter1',
        stretches: [
          { slot: 0, from: 0, to: 9 },
          { slot: 1, from: 10, to: 255 },
        ],
      },
      true,
    ],
    ['a shutter that is never closed', { attribute: 'Shutter1', stretches: [{ slot: 1, from: 10, to: 255 }] }, false],
    ['a dimmer that is never dark', { attribute: 'Dimmer', physical: [0.2, 1] }, false],
    ['a dimmer that hangs on a mode', { attribute: 'Dimmer', when: { slot: 1, from: 0, to: 9 } }, false],
  ] as const)('is closed by %s: %o %s', (_what, job, isDriven) => {
    const channels = [...scanner, { slot: 3, functions: [job as never] }];
    expect(lampOf(channels, laser).slots({})[0]).toBe(isDriven ? 90 : 0);
  });
});

describe('a shutter that has no closed place, above a dimmer and a strobe', () => {
  // 0 to 189 dims, 190 to 250 flashes, from 251 all is lit: common practice of pars, no source.
  const par = lampOf([
    {
      slot: 1,
      functions: [
        { attribute: 'Dimmer', to: 189 },
        { attribute: 'Shutter1Strobe', from: 190, to: 250, physical: [1, 20] },
        { attribute: 'Shutter1', from: 251, stretches: [{ slot: 1, from: 251, to: 255 }] },
      ],
    },
    { slot: 2, functions: [{ attribute: 'ColorAdd_R' }] },
  ]);

  it('does not light the lamp when it is asked to close, as a blackout does', () => {
    expect(par.slots({ Dimmer: 0, Shutter1: 0 })[0]).toBe(0);
    expect(par.slots({ Dimmer: 0, Shutter1: 0, Shutter1Strobe: 5 })[0]).toBe(0);
  });

  it('leaves dimming and flashing as they are', () => {
    expect(par.slots({ Dimmer: 1 })[0]).toBe(189);
    expect(par.slots({ Dimmer: 1, Shutter1Strobe: 20 })[0]).toBe(250);
  });
});

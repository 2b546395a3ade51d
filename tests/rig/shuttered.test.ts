import { describe, expect, it } from 'vitest';
import { Levels } from '../../node/core/levels.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import type { FixtureTypeInput } from '../../node/rig/fixture-type.ts';
import { Offline, press } from '../helpers/offline.ts';
import { everybody, place, tinyShow } from '../helpers/tiny-show.ts';

type Channel = FixtureTypeInput['modes'][number]['channels'][number];
type Asked = Readonly<{ level?: number; colour?: string; strobe?: number; attributes?: Record<string, number> }>;

/** What a lamp that somebody typed sends in a look. */
function slotsOf(channels: readonly Channel[], ask: Asked, more: Partial<FixtureTypeInput> = {}): number[] {
  const show = tinyShow({
    fixtureTypes: [{ id: 'typed', name: 'Typed', ...more, modes: [{ id: 'm', name: 'M', channels: [...channels] }] }],
    fixtures: [place('lamp', 'typed', 'm', 1)],
    looks: [{ id: 'asked', fade: 0, parts: [{ who: everybody, ...ask }] }],
  });
  const offline = new Offline(show, [[0, press('asked')]]);
  const levels = new Levels(offline.show.rig.universes);
  Encoder.for(offline.show.rig, levels).encode(offline.frame(1000));
  return [...levels.snapshot(1).subarray(0, channels.length)];
}

const rgb = (slot: number, of: Partial<Channel> = {}): Channel[] =>
  (['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'] as const).map((name, i) => ({
    slot: slot + i,
    ...of,
    functions: [{ attribute: name }],
  }));
/** 3 Hz: 10 + 2 / 19 * 239 = 35.2. */
const shutter = (slot: number, of: Partial<Channel> = {}): Channel => ({
  slot,
  ...of,
  functions: [
    {
      attribute: 'Shutter1',
      stretches: [
        { slot: 0, from: 0, to: 9 },
        { slot: 1, from: 250, to: 255 },
      ],
    },
    { attribute: 'Shutter1Strobe', from: 10, to: 249, physical: [1, 20] },
  ],
});

describe('A part that is dark by its shutter alone', () => {
  const derby = [...rgb(1, { part: 1 }), shutter(4, { part: 2 })];

  it('is dark until light is asked of it', () => {
    expect(slotsOf(derby, {})).toEqual([0, 0, 0, 0]);
    expect(slotsOf(derby, { level: 0 })).toEqual([0, 0, 0, 0]);
    expect(slotsOf(derby, { level: 1, colour: '#ff0000' })).toEqual([255, 0, 0, 250]);
    expect(slotsOf(derby, { level: 1, strobe: 3 })[3]).toBe(35);
    expect(slotsOf(derby, { level: 0, strobe: 3 })[3]).toBe(0);
  });

  it('goes to its ends alone where nobody has told where it is closed: what lies between may flash', () => {
    const spot = (physical: [number, number]): Channel[] => [
      { slot: 1, functions: [{ attribute: 'Gobo1' }] },
      { slot: 2, functions: [{ attribute: 'Shutter1', physical }] },
    ];
    for (const level of [0.05, 0.3, 0.5, 1]) {
      expect(slotsOf(spot([0, 1]), { level })[1]).toBe(255);
      expect(slotsOf(spot([1, 0]), { level })[1]).toBe(0);
    }
    expect(slotsOf(spot([0, 1]), { level: 0 })[1]).toBe(0);
    expect(slotsOf(spot([1, 0]), { level: 0 })[1]).toBe(255);
  });

  it('keeps its shutter where the whole has a dimmer, or the part has lights of its own', () => {
    const dimmed = [...derby, { slot: 5, functions: [{ attribute: 'Dimmer' as const }] }];
    expect(slotsOf(dimmed, {}).slice(3)).toEqual([253, 0]);
    const own = [...rgb(1, { part: 1 }), shutter(4, { part: 1 }), ...rgb(5, { part: 2 })];
    expect(slotsOf(own, {})[3]).toBe(253);
    expect(slotsOf(own, { level: 1, attributes: { Shutter1: 0 } })[3]).toBe(5);
  });

  it('is none where lights hang on it that are parts by themselves', () => {
    const geometry = [
      { name: 'Bar', kind: 'body' as const },
      { name: 'Head', kind: 'axis' as const, on: 0 },
      { name: 'Lens', kind: 'beam' as const, on: 1 },
    ];
    const nested = [...rgb(1, { part: 1, geometry: 'Lens' }), shutter(4, { part: 2, geometry: 'Head' })];
    expect(slotsOf(nested, {}, { geometry })[3]).toBe(253);
    expect(slotsOf(nested, { level: 1, attributes: { Shutter1: 0 } }, { geometry })[3]).toBe(5);
  });
});

import { describe, expect, it } from 'vitest';
import { Offline, press } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, par, place, type TinyShow, tinyShow } from '../helpers/tiny-show.ts';

type Parts = NonNullable<TinyShow['looks']>[number]['parts'];

const rig: TinyShow = {
  fixtures: [
    par('a', 1),
    par('b', 7),
    { ...par('c', 13), use: 'dance wash' },
    place('spot', 'spot-head', '12ch', 20),
    { ...dimmer('festoon', 40), use: 'centrepiece' },
  ],
  groups: [{ id: 'ends', fixtures: ['c', 'a'] }],
  theme: { name: 'Plain', colours: [{ id: 'deep', name: 'Deep', value: '#0000ff' }] },
};
const wearing = (...parts: Parts): Offline =>
  new Offline(tinyShow({ ...rig, looks: [{ id: 'look', fade: 0, parts }] }), [[0, press('look')]]);
/** Red, green and blue slots of the three pars. */
const colours = (night: Offline): number[][] => [1, 7, 13].map((address) => [...night.slots(0).subarray(address, address + 3)]);
const dimmers = (night: Offline): number[] =>
  ['a', 'b', 'c', 'spot', 'festoon'].map((fixture) => night.value(fixture, 'Dimmer', 0));

describe('a colour of a lamp that takes light away', () => {
  const channels = (['Dimmer', 'ColorSub_C', 'ColorSub_M', 'ColorSub_Y'] as const).map((attribute, i) => ({
    slot: i + 1,
    functions: [{ attribute }],
  }));
  const show = tinyShow({
    fixtureTypes: [{ id: 'inks', name: 'Inks', modes: [{ id: 'm', name: 'M', channels }] }],
    fixtures: [place('head', 'inks', 'm', 1)],
    looks: [{ id: 'red', fade: 4, parts: [{ who: everybody, level: 1, colour: '#ff0000' }] }],
  });

  it('is there from the first light of a fade out of the dark', () => {
    const night = new Offline(show, [[0, press('red')]]);
    expect(night.value('head', 'Dimmer', 1000)).toBeLessThan(0.5);
    expect((['ColorSub_C', 'ColorSub_M', 'ColorSub_Y'] as const).map((name) => night.value('head', name, 1000))).toEqual(
      [0, 1, 1].map((one) => expect.closeTo(one, 6)),
    );
  });
});

describe('a part', () => {
  it('speaks of fixtures by name, group, use or all of them', () => {
    expect(dimmers(wearing({ who: only('b'), level: 1 }))).toEqual([0, 1, 0, 0, 0]);
    expect(dimmers(wearing({ who: [{ group: 'ends' }], level: 1 }))).toEqual([1, 0, 1, 0, 0]);
    expect(dimmers(wearing({ who: [{ use: 'centrepiece' }], level: 1 }))).toEqual([0, 0, 0, 0, 1]);
    expect(dimmers(wearing({ who: [{ all: true }], level: 1 }))).toEqual([1, 1, 1, 1, 1]);
    expect(dimmers(wearing({ who: [{ group: 'ends' }, { fixture: 'spot' }], level: 1 }))).toEqual([1, 0, 1, 1, 0]);
  });

  it('that comes later stands where two speak of the same', () => {
    expect(dimmers(wearing({ who: everybody, level: 0.3 }, { who: only('b'), level: 0.9 }))).toEqual([0.3, 0.9, 0.3, 0.3, 0.3]);
  });

  it('deals several colours out in turn over the fixtures, in the order of the patch', () => {
    const dealt = wearing({ who: [{ group: 'ends' }, { fixture: 'b' }], level: 1, colour: ['#ff0000', '#00ff00'] });
    expect(colours(dealt)).toEqual([
      [255, 0, 0],
      [0, 255, 0],
      [255, 0, 0],
    ]);
  });

  it('takes its colour from the theme, so that a new theme recolours the show', () => {
    expect(colours(wearing({ who: everybody, colour: 'theme:deep' }))[0]).toEqual([0, 0, 255]);
  });

  it('asks no fixture for what it cannot do', () => {
    const night = wearing({ who: everybody, level: 1, aim: { pan: 90, tilt: 10 }, zoom: 20, haze: 1, uv: 1, gobo: 3 });
    expect([...(night.show.rig.byId.get('festoon')?.lamps[0].cells.keys() ?? [])]).toEqual(['Dimmer']);
    expect(night.value('spot', 'Pan', 0)).toBe(90);
    expect(night.slot(40, 0)).toBe(255);
  });

  it('turns a colour wheel to the filter that comes closest', () => {
    // The spot's wheel: open, red, orange, yellow, green, blue, magenta, warm white.
    const slot = (colour: string) => wearing({ who: only('spot'), colour }).value('spot', 'Color1', 0);
    expect(['#ffffff', '#f01008', '#0030f0', '#ff8800', '#ff10b0', '#ffd8a8', 'theme:deep'].map(slot)).toEqual([
      1, 2, 6, 3, 7, 8, 6,
    ]);
  });

  it('puts haze or fog into the air, whichever the machine gives', () => {
    const machines = [
      { ...place('hazer', 'hazer', '2ch', 1), use: 'haze' as const },
      { ...place('fogger', 'fog-machine', '1ch', 10), use: 'haze' as const },
    ];
    const parts: Parts = [{ who: [{ use: 'haze' }], haze: 0.5 }];
    const night = new Offline(tinyShow({ fixtures: machines, looks: [{ id: 'air', fade: 0, parts }] }), [[0, press('air')]]);
    expect([night.value('hazer', 'Haze1', 0), night.value('fogger', 'Fog1', 0)]).toEqual([0.5, 0.5]);
  });

  it('may name any attribute by its own name', () => {
    const night = wearing({ who: only('spot'), attributes: { Focus1: 0.25, Prism1: 1 } });
    expect(night.value('spot', 'Focus1', 0)).toBe(0.25);
    expect(night.value('spot', 'Prism1', 0)).toBe(1);
  });
});

describe('the rest of a frame', () => {
  it('is dark, open and straight, where nothing plays', () => {
    const night = new Offline(tinyShow({ fixtures: [head('head', 1), par('par', 20)] }));
    expect(night.value('head', 'Dimmer', 0)).toBe(0);
    expect(night.value('head', 'Shutter1', 0)).toBe(1);
    expect([night.value('head', 'Pan', 0), night.value('head', 'Tilt', 0)]).toEqual([0, 0]);
    expect(night.value('par', 'Shutter1Strobe', 0)).toBe(0);
  });
});

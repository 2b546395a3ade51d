import { describe, expect, it } from 'vitest';
import { Offline, press, release, type Script } from '../helpers/offline.ts';
import { dimmer, everybody, tinyShow } from '../helpers/tiny-show.ts';

const show = tinyShow({
  fixtures: [dimmer('lamp', 1)],
  looks: [{ id: 'dinner', fade: 1, parts: [{ who: everybody, level: 0.4 }] }],
  hits: [
    { id: 'flash', longest: 3, parts: [{ who: everybody, level: 1 }] },
    { id: 'swell', fade: 2, longest: 1, parts: [{ who: everybody, level: 1 }] },
  ],
});
const play = (...script: Script): Offline => new Offline(show, script);

describe('a hit', () => {
  it('is there at once while it is held, and what it hid comes back when it lets go', () => {
    const night = play([0, press('dinner')], [5000, press('flash')], [6200, release('flash')]);
    expect([4999, 5000, 6199, 6200].map((at) => night.value('lamp', 'Dimmer', at))).toEqual([0.4, 1, 1, 0.4]);
  });

  it('lets go by itself after its longest time, whatever holds it', () => {
    const night = play([0, press('dinner')], [5000, press('flash')]);
    expect([7999, 8000].map((at) => night.value('lamp', 'Dimmer', at))).toEqual([1, 0.4]);
  });

  it('is not prolonged by pressing again while it is on', () => {
    const night = play([0, press('dinner')], [5000, press('flash')], [7900, press('flash')]);
    expect(night.value('lamp', 'Dimmer', 8000)).toBe(0.4);
  });

  it('never covers, so that nothing below leaves however long it is held', () => {
    const night = play([0, press('dinner')], [5000, press('flash')], [7500, { do: 'blackout', on: false }]);
    expect(night.stack(7500)).toEqual(['look:dinner', 'hit:flash']);
  });

  it('leaves the stack once it is gone', () => {
    const night = play([0, press('dinner')], [5000, press('flash')], [8000, { do: 'blackout', on: false }]);
    expect(night.stack(8000)).toEqual(['look:dinner']);
  });

  it('whose time is up before it has come in goes from where it is', () => {
    const night = play([0, press('swell')]);
    expect([500, 1000, 2000, 3000].map((at) => night.value('lamp', 'Dimmer', at))).toEqual([0.25, 0.5, 0.25, 0]);
  });

  it('can be tapped as fast as a thumb goes', () => {
    const taps: Script = Array.from({ length: 40 }, (_, i) => [5000 + i * 50, i % 2 === 0 ? press('flash') : release('flash')]);
    const night = play([0, press('dinner')], ...taps);
    expect([5025, 5075, 5125, 5175].map((at) => night.value('lamp', 'Dimmer', at))).toEqual([1, 0.4, 1, 0.4]);
    expect(night.state(7000).entries.length).toBeLessThanOrEqual(2);
  });

  it('that another press let go is not started again by taking that back: nothing would end it', () => {
    const alone = tinyShow({
      fixtures: [dimmer('lamp', 1)],
      looks: [
        { id: 'dinner', fade: 0, parts: [{ who: everybody, level: 0.4 }] },
        { id: 'dance', fade: 0, parts: [{ who: everybody, level: 0.6 }] },
      ],
      hits: [{ id: 'flash', longest: 3, parts: [{ who: everybody, level: 1 }] }],
      buttons: [{ id: 'only', name: 'Only dance', starts: [{ look: 'dance' }], alone: true }],
    });
    const night = new Offline(alone, [
      [0, press('dinner')],
      [5000, press('flash')],
      [6000, press('only')],
      [6100, release('flash')],
      [6500, { do: 'undo', number: 3 }],
    ]);
    expect([5500, 6050, 6550, 60_000].map((at) => night.value('lamp', 'Dimmer', at))).toEqual([1, 0.6, 0.4, 0.4]);
  });
});

import { describe, expect, it } from 'vitest';
import { slotAt } from '../helpers/lightness.ts';
import { Offline, press, release, type Script } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, tinyShow } from '../helpers/tiny-show.ts';

/** Expected values are worked out by hand from design.md, "How playing works". */
const show = tinyShow({
  fixtures: [dimmer('left', 1), dimmer('right', 2)],
  looks: [
    { id: 'full', fade: 2, parts: [{ who: everybody, level: 1 }] },
    { id: 'half', fade: 1, fadeOut: 4, parts: [{ who: everybody, level: 0.5 }] },
    { id: 'left-low', fade: 1, parts: [{ who: only('left'), level: 0.2 }] },
    { id: 'base', fade: 1, stay: true, parts: [{ who: everybody, level: 0.1 }] },
  ],
  buttons: [
    { id: 'instead', starts: [{ look: 'half' }], stops: [{ look: 'full' }] },
    { id: 'pair', starts: [{ look: 'full' }, { look: 'left-low' }] },
  ],
});
const play = (...script: Script): Offline => new Offline(show, script);

describe('an entry', () => {
  it('fades in evenly from what lies below', () => {
    const night = play([0, press('full')]);
    expect([0, 500, 1000, 1500, 2000, 9000].map((at) => night.value('left', 'Dimmer', at))).toEqual([0, 0.25, 0.5, 0.75, 1, 1]);
  });

  it('covers by its weight, upwards and downwards alike', () => {
    const night = play([0, press('full')], [5000, press('half')]);
    expect([5000, 5250, 5500, 6000].map((at) => night.value('left', 'Dimmer', at))).toEqual([1, 0.875, 0.75, 0.5]);
  });

  it('lets through what it does not name', () => {
    const night = play([0, press('full')], [5000, press('left-low')]);
    expect(night.value('left', 'Dimmer', 6000)).toBe(0.2);
    expect(night.value('right', 'Dimmer', 6000)).toBe(1);
  });

  it('fades out when it is released, and what lay below returns', () => {
    const night = play([0, press('full')], [5000, press('left-low')], [8000, release('left-low')]);
    expect([8000, 8500, 9000].map((at) => night.value('left', 'Dimmer', at))).toEqual([0.2, 0.6, 1]);
  });

  it('goes out at its own pace where it has one', () => {
    const night = play([0, press('half')], [5000, release('half')]);
    expect([5000, 6000, 8000, 9000].map((at) => night.value('left', 'Dimmer', at))).toEqual([0.5, 0.375, 0.125, 0]);
  });

  it('fades out from wherever it had come to', () => {
    const night = play([0, press('full')], [500, release('full')]);
    expect([500, 1500, 2500].map((at) => night.value('left', 'Dimmer', at))).toEqual([0.25, 0.125, 0]);
  });

  it('can start again while it still goes, and nothing jumps', () => {
    const night = play([0, press('half')], [5000, release('half')], [7000, press('half')]);
    expect([7000, 8000].map((at) => night.value('left', 'Dimmer', at))).toEqual([0.25, 0.5]);
  });
});

describe('the stack', () => {
  it('drops what is wholly covered once the cover has settled, not before', () => {
    const night = play([0, press('full')], [5000, press('half')], [5999, { do: 'blackout', on: false }]);
    expect(night.stack(5999)).toEqual(['look:full', 'look:half']);
    const later = play([0, press('full')], [5000, press('half')], [6000, { do: 'blackout', on: false }]);
    expect(later.stack(6000)).toEqual(['look:half']);
  });

  it('keeps what lies under a cover that is going, however fully that had come', () => {
    const night = play([0, press('full')], [5000, press('half')], [5900, release('half')], [7000, { do: 'blackout', on: false }]);
    expect(night.stack(7000)).toEqual(['look:full', 'look:half']);
    expect(night.value('left', 'Dimmer', 9900)).toBe(1);
  });

  it('keeps what is covered in part only', () => {
    const night = play([0, press('full')], [5000, press('left-low')], [60_000, { do: 'blackout', on: false }]);
    expect(night.stack(60_000)).toEqual(['look:full', 'look:left-low']);
  });

  it('keeps what several cover together from being seen, and so drops it', () => {
    const night = play(
      [0, press('base')],
      [1, press('left-low')],
      [5000, press('full')],
      [9000, press('half')],
      [20_000, press('full')],
    );
    expect(night.stack(20_000)).toEqual(['look:base', 'look:half', 'look:full']);
  });

  it('keeps what is marked to stay, and returns to it', () => {
    const night = play([0, press('base')], [5000, press('full')], [60_000, release('full')]);
    expect([60_000, 61_000, 62_000].map((at) => night.value('left', 'Dimmer', at))).toEqual([1, 0.55, 0.1]);
  });

  it('keeps what stays once, however often it is called back', () => {
    const script: Script = Array.from({ length: 20 }, (_, i) => [i * 5000, press(i % 2 === 0 ? 'base' : 'full')]);
    expect(play(...script).stack(100_000)).toEqual(['look:base', 'look:full']);
  });

  it('lets everything go, what stays and what the show starts with included', () => {
    const night = play([0, press('base')], [5000, press('full')], [9000, { do: 'all-off' }]);
    expect(night.value('left', 'Dimmer', 20_000)).toBe(0);
  });

  it('releases everything in the time that is asked for, what is going already included', () => {
    const night = play([0, press('half')], [5000, release('half')], [6000, { do: 'all-off', fade: 1 }]);
    expect([6000, 6500, 7000].map((at) => night.value('left', 'Dimmer', at))).toEqual([0.375, 0.1875, 0]);
  });

  it('lets nobody go slower than it is going', () => {
    const night = play([0, press('full')], [5000, release('full')], [6000, { do: 'all-off', fade: 60 }]);
    expect(night.value('left', 'Dimmer', 7000)).toBe(0);
  });

  it('plays what the show starts with, without a thumb', () => {
    const night = new Offline(
      tinyShow({ looks: [{ id: 'open', fade: 4, parts: [{ who: everybody, level: 1 }] }], start: [{ look: 'open' }] }),
    );
    expect([0, 1000, 4000].map((at) => night.value('lamp', 'Dimmer', at))).toEqual([0, 0.25, 1]);
  });
});

describe('a button', () => {
  it('stops what it says it stops, at the pace of what goes, and starts the rest at its own', () => {
    const night = play([0, press('full')], [5000, press('instead')]);
    // Half way in after 0.5 s; the other has 3/4 left: 0.75 + (0.5 - 0.75) * 0.5.
    expect(night.value('left', 'Dimmer', 5500)).toBeCloseTo(0.625, 12);
    expect(night.value('left', 'Dimmer', 7000)).toBe(0.5);
  });

  it('changes nothing when what it starts is in full view already', () => {
    const once = play([0, press('full')]);
    const twice = play([0, press('full')], [700, press('full')], [9000, press('full')]);
    expect({ ...twice.state(9000), number: 1 }).toEqual(once.state(9000));
  });

  it('changes nothing either when what it starts lies one over the other, as it put them', () => {
    const once = play([0, press('pair')]);
    const twice = play([0, press('pair')], [9000, press('pair')]);
    expect({ ...twice.state(9000), number: 1 }).toEqual(once.state(9000));
  });

  it('brings back what something else has come to lie over', () => {
    const night = play([0, press('full')], [5000, press('left-low')], [9000, press('full')]);
    expect([9000, 10_000, 11_000].map((at) => night.slot(1, at))).toEqual([slotAt(0.2), slotAt(0.6), 255]);
  });

  it('keeps its order when another has turned it round', () => {
    const night = play([0, press('pair')], [5000, press('full')], [9000, press('pair')]);
    expect(night.value('left', 'Dimmer', 12_000)).toBe(0.2);
    expect(night.value('right', 'Dimmer', 12_000)).toBe(1);
  });

  it('of another show changes nothing', () => {
    const night = play([0, press('full')]);
    const lost = play([0, press('full')], [1000, press('of-yesterday')], [1100, release('of-yesterday')]);
    expect({ ...lost.state(2000), number: 1 }).toEqual(night.state(2000));
  });
});

describe('what cannot lie between', () => {
  const heads = tinyShow({
    fixtures: [head('head', 1)],
    looks: [
      { id: 'plain', fade: 1, parts: [{ who: everybody, level: 1, aim: { pan: 0, tilt: 0 } }] },
      { id: 'strobe', fade: 1, parts: [{ who: everybody, strobe: 10, aim: { pan: 90, tilt: 0 } }] },
    ],
  });

  it('jumps half way in and half way out, while the rest passes through', () => {
    const night = new Offline(heads, [
      [0, press('plain')],
      [5000, press('strobe')],
      [9000, release('strobe')],
    ]);
    const of = (attribute: 'Shutter1Strobe' | 'Pan', at: number) => night.value('head', attribute, at);
    expect([5499, 5500, 6000, 9500, 9501].map((at) => of('Shutter1Strobe', at))).toEqual([0, 10, 10, 10, 0]);
    expect([5000, 5250, 5500, 6000, 9500].map((at) => of('Pan', at))).toEqual([0, 22.5, 45, 90, 45]);
  });
});

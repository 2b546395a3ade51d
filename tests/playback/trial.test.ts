import { describe, expect, it } from 'vitest';
import { revive } from '../../node/playback/reduce.ts';
import { Offline, press, release, START } from '../helpers/offline.ts';
import { everybody, par, tinyShow } from '../helpers/tiny-show.ts';

/** What somebody tries on the bench, over what plays. Slots of the lamp: dimmer, red, green, blue, white, strobe. */
const show = tinyShow({
  fixtures: [par('lamp', 1)],
  looks: [
    { id: 'warm', fade: 0, unattended: true, parts: [{ who: everybody, level: 1, colour: '#ff0000' }] },
    { id: 'sea', fade: 0, unattended: true, parts: [{ who: everybody, level: 1, colour: '#0000ff' }] },
  ],
});
const lay = { do: 'try', item: 'look:sea' } as const;
const colour = (night: Offline, at: number): string => (night.slot(4, at) > night.slot(2, at) ? 'blue' : 'red');

describe('what somebody tries', () => {
  it('lies over what plays and hides nothing of it for good', () => {
    const night = new Offline(show, [
      [0, press('warm')],
      [1000, lay],
      [60_000, { do: 'tempo', bpm: 90 }],
      [61_000, { do: 'try' }],
    ]);
    expect([500, 2000, 60_500, 63_000].map((at) => colour(night, at))).toEqual(['red', 'blue', 'blue', 'red']);
    expect(night.slot(2, 63_000)).toBe(255);
  });

  it('is one thing at a time, and nothing where the show has no such thing', () => {
    const night = new Offline(show, [
      [0, lay],
      [1000, { do: 'try', item: 'look:warm' }],
      [5000, { do: 'try', item: 'look:gone' }],
      [9000, { do: 'tempo', bpm: 90 }],
    ]);
    expect(night.state(4000).entries.filter(({ release: going }) => going === undefined)).toHaveLength(1);
    expect(colour(night, 4000)).toBe('red');
    expect(night.stack(9000)).toEqual([]);
  });

  it('gives way to whoever presses, and the same thing that is pressed stays when nobody tries it any more', () => {
    const night = new Offline(show, [
      [0, press('warm')],
      [1000, lay],
      [2000, press('sea')],
      [3000, { do: 'try' }],
    ]);
    expect(night.state(4000).entries.some(({ isTried }) => isTried)).toBe(false);
    expect(colour(night, 4000)).toBe('blue');
    const undone = new Offline(show, [
      [0, press('warm')],
      [1000, lay],
      [2000, press('sea')],
      [3000, { do: 'undo', number: 3 }],
    ]);
    // Nobody may be trying it any more: an undo does not bring it back.
    expect(colour(undone, 5000)).toBe('red');
  });

  it('needs somebody though it may run alone otherwise: it goes when nobody is heard of, and outlives no restart', () => {
    const night = new Offline(show, [
      [0, press('warm')],
      [1000, lay],
      [5000, { do: 'let-go' }],
    ]);
    expect([4000, 7000].map((at) => colour(night, at))).toEqual(['blue', 'red']);
    const state = night.state(2000);
    const saved = { show: show.id, state, at: START + 2000, wall: START + 2000 };
    expect(revive(night.show, saved, START + 9000, START + 9000).entries.map(({ item }) => item)).toEqual(['look:warm']);
    const off = new Offline(show, [
      [0, lay],
      [1000, release('sea')],
    ]);
    expect(off.slot(1, 3000)).toBe(0);
  });
});

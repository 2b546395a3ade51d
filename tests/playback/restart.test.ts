import { describe, expect, it } from 'vitest';
import { adopt } from '../../node/playback/reduce.ts';
import type { PlayState } from '../../node/playback/state.ts';
import { Offline, press, release, type Script, START } from '../helpers/offline.ts';
import { everybody, head, type TinyShow, tinyShow } from '../helpers/tiny-show.ts';

const document: TinyShow = {
  fixtures: [head('head', 1)],
  groups: [{ id: 'heads', fixtures: ['head'] }],
  looks: [
    { id: 'wash', fade: 4, parts: [{ who: everybody, level: 1, colour: '#ff8040' }] },
    { id: 'aimed', fade: 2, fadeOut: 10, parts: [{ who: everybody, aim: { pan: 45, tilt: 30 } }] },
  ],
  movements: [{ id: 'circle', fade: 1, who: everybody, figure: 'circle', size: { pan: 20, tilt: 20 }, period: { beats: 16 } }],
  hits: [{ id: 'flash', longest: 8, parts: [{ who: everybody, strobe: 10 }] }],
};
const show = tinyShow(document);
const script: Script = [
  [0, press('wash')],
  [1000, press('aimed')],
  [1500, press('circle')],
  [2000, release('aimed')],
  [2200, { do: 'tempo', bpm: 93 }],
  [2500, press('flash')],
  [2600, { do: 'master', level: 0.5, fade: 5 }],
  [2700, { do: 'master', group: 'heads', level: 0.7, fade: 6 }],
];
const night = new Offline(show, script);
const journalled = (at: number): PlayState => JSON.parse(JSON.stringify(night.state(at))) as PlayState;

describe('after a power cut', () => {
  it('goes on in phase with where it would be', () => {
    const back = adopt(night.show, journalled(3000), START + 3000, START + 3700);
    for (const at of [3700, 4000, 6000, 20_000]) expect(night.slots(at, 1, back)).toEqual(night.slots(at));
  });

  it('goes on where it was when the clock has gone back: no time has passed', () => {
    const year = 365 * 24 * 3600 * 1000;
    const back = adopt(night.show, journalled(3000), START + 3000, START + 3000 - year);
    for (const after of [0, 300, 1000, 3000, 20_000]) {
      expect(night.slots(3000 + after - year, 1, back)).toEqual(night.slots(3000 + after));
    }
  });

  it('stands by the fallback, however long ago it came', () => {
    const fallen = new Offline(show, [...script, [3000, { do: 'fall-back' }]]);
    const state = JSON.parse(JSON.stringify(fallen.state(5000))) as PlayState;
    const back = adopt(fallen.show, state, START + 5000, START - 90_000);
    expect(fallen.slots(-90_000, 1, back)).toEqual(fallen.slots(5000));
  });

  it('drops what the show no longer has, and keeps the rest', () => {
    const { movements: _, groups: __, ...less } = document;
    const poorer = new Offline(tinyShow(less));
    const back = adopt(poorer.show, journalled(3000), START + 3000, START + 3000);
    expect(back.entries.map(({ item }) => item)).toEqual(['look:wash', 'look:aimed', 'hit:flash']);
    expect(back.groups).toEqual({});
  });
});

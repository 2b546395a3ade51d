import { describe, expect, it } from 'vitest';
import { changeShow, reduce, revive } from '../../node/playback/reduce.ts';
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
const through = (state: PlayState): PlayState => JSON.parse(JSON.stringify(state)) as PlayState;
/** Some evening by the wall, at the start of the script. */
const EVENING = Date.UTC(2030, 5, 15, 20, 0, 0);
const saved = (of: Offline, at: number) => ({ show: of.show.id, state: through(of.state(at)), at: START + at, wall: EVENING + at });
/** A machine that boots anew counts from somewhere else. */
const BOOT = 4_000;

describe('after a power cut', () => {
  it('goes on in phase with where it would be, by the wall, whatever the new boot counts from', () => {
    const held = new Offline(show, [...script, [2900, release('flash')]]);
    const back = revive(night.show, saved(held, 3000), BOOT, EVENING + 3700);
    for (const at of [3700, 4000, 6000, 20_000]) expect(night.slots(BOOT - START + at - 3700, 1, back)).toEqual(held.slots(at));
  });

  it('goes on where it was when the wall clock has gone back: no time has passed', () => {
    const held = new Offline(show, [...script, [2900, release('flash')]]);
    const year = 365 * 24 * 3600 * 1000;
    const back = revive(night.show, saved(held, 3000), BOOT, EVENING + 3000 - year);
    for (const after of [0, 300, 1000, 3000, 20_000])
      expect(night.slots(BOOT - START + after, 1, back)).toEqual(held.slots(3000 + after));
  });

  it('stands by the fallback, however long ago it came', () => {
    const fallen = new Offline(show, [...script, [3000, { do: 'fall-back' }]]);
    const back = revive(fallen.show, saved(fallen, 5000), BOOT, EVENING - 90_000);
    expect(fallen.slots(BOOT - START, 1, back)).toEqual(fallen.slots(5000));
  });

  it('does not hold a hit: whoever held it is not there', () => {
    expect(night.stack(3000)).toContain('hit:flash');
    expect(revive(night.show, saved(night, 3000), BOOT, EVENING + 3100).entries.map(({ item }) => item)).not.toContain('hit:flash');
  });

  it('does not bring a hit back by taking back a press that was made while it was held', () => {
    const pressed = new Offline(show, [...script, [2900, press('aimed')]]);
    const back = revive(night.show, saved(pressed, 3000), BOOT, EVENING + 3100);
    const number = back.undo?.number ?? Number.NaN;
    const undone = reduce(night.show, back, { do: 'undo', number }, BOOT + 100, number + 1);
    expect(undone).toMatchObject({ number: number + 1 });
    expect(undone.undo).toBeUndefined();
    expect(undone.entries.map(({ item }) => item)).not.toContain('hit:flash');
  });

  it('drops what the show no longer has, and keeps the rest', () => {
    const { movements: _, groups: __, ...less } = document;
    const poorer = new Offline(tinyShow(less));
    const back = revive(poorer.show, saved(night, 3000), START + 3000, EVENING + 3000);
    expect(back.entries.map(({ item }) => item)).toEqual(['look:wash', 'look:aimed']);
    expect(back.groups).toEqual({});
  });
});

describe('while it plays, another revision or show', () => {
  it('leaves what a person set: blackout, masters, tempo and the hit that is held', () => {
    const dark = new Offline(show, [...script, [2800, { do: 'blackout', on: true }]]);
    const richer = new Offline(tinyShow({ ...document, masters: { all: 0.9, groups: {} }, tempo: 60 }));
    const before = dark.state(3000);
    const after = changeShow(dark.show, richer.show, before, START + 3000);
    expect(after).toEqual(before);
  });

  it('leaves blackout, master and tempo also where the show is another one, which starts afresh', () => {
    const dark = new Offline(show, [...script, [2800, { do: 'blackout', on: true }]]);
    const other = new Offline({ ...tinyShow({ ...document, start: [{ look: 'aimed' }] }), id: 'another' });
    const before = dark.state(3000);
    const after = changeShow(dark.show, other.show, before, START + 3000);
    expect([after.blackout, after.all, after.tempo]).toEqual([true, before.all, before.tempo]);
    expect(after.entries.map(({ item }) => item)).toEqual(['look:aimed']);
    expect(before.entries.map(({ id }) => id)).not.toContain(after.entries[0]?.id);
  });

  it('gives another show its own tempo where nobody has tapped one', () => {
    const plain = new Offline(tinyShow({ ...document, tempo: 122 }));
    const other = new Offline({ ...tinyShow({ ...document, tempo: 96 }), id: 'another' });
    const tempoAfter = (...more: Script) => {
      const state = new Offline(tinyShow({ ...document, tempo: 122 }), more).state(3000);
      return changeShow(plain.show, other.show, state, START + 3000).tempo.bpm;
    };
    expect(tempoAfter()).toBe(96);
    expect(tempoAfter([1000, { do: 'tempo', bpm: 140 }])).toBe(140);
  });
});

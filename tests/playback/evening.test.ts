import { describe, expect, it } from 'vitest';
import type { Command } from '../../node/core/commands.ts';
import { Night } from '../../node/plan/night.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { dueAt, momentsTonight } from '../../node/playback/evening.ts';
import { changeShow, freshState, reduce, revive } from '../../node/playback/reduce.ts';
import { isOn, type PlayState } from '../../node/playback/state.ts';
import { everybody, tinyShow } from '../helpers/tiny-show.ts';

const document = {
  looks: ['dinner', 'toasts', 'dance'].map((id) => ({
    id,
    fade: 1,
    unattended: id !== 'dance',
    parts: [{ who: everybody, level: 1 }],
  })),
  moments: [
    { id: 'arrive', at: '17:00' },
    { id: 'dinner', at: '19:00', starts: [{ look: 'dinner' }] },
    { id: 'toasts', starts: [{ look: 'toasts' }], stops: [{ look: 'dinner' }] },
    { id: 'dancing', at: '22:00', starts: [{ look: 'dance' }], stops: [{ look: 'toasts' }] },
  ],
};
const show = compileShow(tinyShow(document));
const NOW = 5000;
const night = new Night(Date.UTC(2030, 5, 15, 18), 'UTC');

/** What is wanted after some commands, one a minute. */
function evening(...commands: readonly Command[]): PlayState {
  return commands.reduce((state, command, i) => reduce(show, state, command, NOW + i * 60_000, i + 1), freshState(show, NOW));
}
const on = (state: PlayState): string[] => state.entries.filter((entry) => isOn(entry, NOW + 600_000)).map(({ item }) => item);
const begin = (moment: string): Command => ({ do: 'moment', moment });
const dues = (state: PlayState): (string | undefined)[] =>
  momentsTonight(show, state).map((moment) => {
    const at = dueAt(show, state, moment, night);
    return at === undefined ? undefined : new Date(at).toISOString().slice(11, 16);
  });

describe('A moment of the evening', () => {
  it('starts what begins with it, lets go what goes with it, and is the one that is on', () => {
    const state = evening(begin('dinner'), begin('toasts'));
    expect(on(state)).toEqual(['look:toasts']);
    expect(state.evening?.moment).toBe('toasts');
  });

  it('is taken back like a press: the one before is on again, with what played then', () => {
    const before = evening(begin('dinner'), begin('toasts'));
    const state = reduce(show, before, { do: 'undo', number: 2 }, NOW + 120_000, 3);
    expect(on(state)).toEqual(['look:dinner']);
    expect(state.evening?.moment).toBe('dinner');
    const none = reduce(show, evening(begin('dinner')), { do: 'undo', number: 1 }, NOW + 60_000, 2);
    expect([on(none), none.evening?.moment]).toEqual([[], undefined]);
  });

  it('with nobody there starts only what may run alone', () => {
    const state = reduce(show, evening(begin('toasts')), { do: 'moment', moment: 'dancing', unwatched: true }, NOW + 60_000);
    expect(on(state)).toEqual([]);
    expect(state.evening?.moment).toBe('dancing');
  });

  it('that the show does not have changes nothing', () => {
    const state = evening(begin('dinner'));
    expect(reduce(show, state, begin('of-yesterday'), NOW + 60_000, 2)).toEqual({ ...state, number: 2 });
  });

  it('stays on over a restart and an edit, not in another show, and not where the edit took it out', () => {
    const state = evening(begin('dinner'), { do: 'late', minutes: 10 });
    const revived = revive(show, { show: 'tiny', state, at: NOW, wall: 1000 }, 10, 2000);
    expect(revived.evening).toEqual({ moment: 'dinner', late: 10, until: 1000 });
    expect(changeShow(show, show, state, NOW).evening).toEqual(state.evening);
    const without = compileShow(tinyShow({ ...document, moments: document.moments.slice(2) }));
    expect(changeShow(show, without, state, NOW).evening).toEqual({ late: 10 });
    const other = compileShow({ ...tinyShow(document), id: 'other' });
    expect(changeShow(show, other, state, NOW).evening).toBeUndefined();
  });
});

it('A moment that is on and taken out leaves the evening where it is: what came before it does not come again', () => {
  const before = evening({ do: 'order', moments: ['dinner', 'arrive', 'toasts', 'dancing'] }, begin('toasts'));
  const took = (state: PlayState, ...out: string[]): PlayState =>
    changeShow(
      show,
      compileShow(tinyShow({ ...document, moments: document.moments.filter(({ id }) => !out.includes(id)) })),
      state,
      NOW,
    );
  expect(took(before, 'toasts').evening?.moment).toBe('arrive');
  expect(took(before, 'toasts', 'arrive').evening?.moment).toBe('dinner');
  expect(took(evening(begin('arrive')), 'arrive').evening).toEqual({});
});

describe('The plan of the evening', () => {
  it('says when each moment is due; what is late is late for what is still to come', () => {
    expect(dues(evening())).toEqual(['17:00', '19:00', undefined, '22:00']);
    expect(dues(evening(begin('dinner'), { do: 'late', minutes: 20 }))).toEqual(['17:00', '19:00', undefined, '22:20']);
    expect(dues(evening(begin('dinner'), { do: 'late', minutes: -5 }))).toEqual(['17:00', '19:00', undefined, '21:55']);
  });

  it('can be put into another order tonight; what is new in the show stands behind what it follows there', () => {
    const order = (...moments: string[]): PlayState => evening({ do: 'order', moments });
    const ids = (state: PlayState): string[] => momentsTonight(show, state).map(({ id }) => id);
    expect(ids(order('arrive', 'toasts', 'dinner', 'dancing'))).toEqual(['arrive', 'toasts', 'dinner', 'dancing']);
    expect(ids(order('toasts', 'dinner'))).toEqual(['arrive', 'toasts', 'dancing', 'dinner']);
    expect(ids(order('of-yesterday'))).toEqual(['arrive', 'dinner', 'toasts', 'dancing']);
    expect(order().evening).toEqual({});
  });
});

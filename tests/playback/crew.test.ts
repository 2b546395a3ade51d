import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Command } from '../../node/core/commands.ts';
import { CREW_LIGHT } from '../../node/core/remote.ts';
import { readState, stateText } from '../../node/playback/journalled.ts';
import { changeShow, reduce, revive } from '../../node/playback/reduce.ts';
import { hazePermitted, Offline, press, type Script, START } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, par, place, tinyShow } from '../helpers/tiny-show.ts';
import { anyCommand } from './any-script.ts';

/** While the crew works. Slots: festoon 1, par 10 (dimmer, strobe at 15), head 20 (dimmer at 24), hazer 40. */
const show = tinyShow({
  fixtures: [dimmer('festoon', 1), par('par', 10), head('head', 20), place('hazer', 'hazer', '2ch', 40)],
  looks: [
    { id: 'dance', fade: 0, parts: [{ who: everybody, level: 0.3, strobe: 2, haze: 1 }] },
    { id: 'dark', fade: 0, parts: [{ who: [...only('festoon'), ...only('par')], level: 0 }] },
  ],
  movements: [{ id: 'circle', fade: 0, who: only('head'), figure: 'circle', size: { pan: 40, tilt: 20 }, period: { seconds: 8 } }],
});
const crew = (on: boolean): Command => ({ do: 'crew', on });
const play = (...script: Script): Offline => new Offline(show, script);
const lights = (night: Offline, at: number) => [1, 10, 24].map((slot) => night.slot(slot, at));
const dancing: Script = [
  [0, hazePermitted],
  [0, press('dance')],
  [0, press('circle')],
];

describe('while the crew works', () => {
  const night = play(...dancing, [5000, { do: 'blackout', on: true }], [6000, crew(true)], [20_000, crew(false)]);

  it('what stands still gives light at full, out of a blackout too; a head keeps what it has', () => {
    expect(lights(night, 5500)).toEqual([0, 0, 0]);
    expect(lights(night, 10_000)).toEqual([255, 255, lights(play(...dancing), 4000)[2]]);
  });

  it('nothing strobes and hazes, and heads stand', () => {
    expect([night.slot(15, 4000) > 0, night.slot(40, 4000)]).toEqual([true, 255]);
    expect([night.slot(15, 10_000), night.slot(40, 10_000)]).toEqual([0, 0]);
  });

  it('and when they have done everything is as it was', () => {
    expect(lights(night, 24_000)).toEqual(lights(play(...dancing), 24_000));
  });

  it('no press takes their light away; but a blackout does, for whoever asks for one', () => {
    const busy = play([0, crew(true)], [5000, press('dark')], [9000, { do: 'all-off' }], [20_000, { do: 'blackout', on: true }]);
    for (const at of [4000, 8000, 9100, 11_000, 15_000]) expect(lights(busy, at).slice(0, 2)).toEqual([255, 255]);
    expect(lights(busy, 20_000)).toEqual([0, 0, 0]);
  });

  it('outlives a restart and another show', () => {
    const state = play([0, crew(true)]).state(0);
    const saved = readState(JSON.parse(stateText(state))) ?? state;
    const back = revive(night.show, { show: show.id, state: saved, at: START, wall: 0 }, START, 1000);
    expect([back.crew !== undefined, back.entries.at(-1)?.item]).toEqual([true, CREW_LIGHT]);
    const other = changeShow({ id: 'other' }, night.show, state, START);
    expect([other.crew !== undefined, other.entries.at(-1)?.item]).toEqual([true, CREW_LIGHT]);
  });

  it('its light lies over everything, whatever anybody asks for, and goes with them', () => {
    fc.assert(
      fc.property(fc.array(anyCommand(['crew']), { maxLength: 20 }), (commands) => {
        const all = [crew(true), ...commands];
        const state = all.reduce((before, one, i) => reduce(night.show, before, one, START + i * 500, i + 1), play().state(0));
        expect(state.entries.at(-1)).toMatchObject({ item: CREW_LIGHT });
        expect(state.entries.at(-1)?.release).toBeUndefined();
        const after = reduce(night.show, state, crew(false), START + 60_000, 99);
        expect(after.entries.filter(({ item, release }) => item === CREW_LIGHT && release === undefined)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });
});

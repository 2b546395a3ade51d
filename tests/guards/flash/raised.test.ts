import { describe, expect, it } from 'vitest';
import { command } from '../../../node/core/commands.ts';
import { Levels } from '../../../node/core/levels.ts';
import { maySend, roles } from '../../../node/core/roles.ts';
import { Pipeline } from '../../../node/pipeline/pipeline.ts';
import { dueBySilence } from '../../../node/playback/fallback.ts';
import { readState, stateText } from '../../../node/playback/journalled.ts';
import { changeShow, revive } from '../../../node/playback/reduce.ts';
import { Offline, press, type Script, START } from '../../helpers/offline.ts';
import { everybody, par, tinyShow } from '../../helpers/tiny-show.ts';

/** A par that flashes eight times a second where nobody holds it back, and may do so alone. Its dimmer is slot 1. */
const show = tinyShow({
  fixtures: [par('lamp', 1)],
  looks: [{ id: 'calm', fade: 0, parts: [{ who: everybody, level: 0.5 }] }],
  chases: [
    {
      id: 'quick',
      unattended: true,
      steps: [
        { length: { seconds: 0.05 }, fade: 0, parts: [{ who: everybody, level: 1 }] },
        { length: { seconds: 0.075 }, fade: 0, parts: [{ who: everybody, level: 0 }] },
      ],
    },
  ],
});
const raise = command.parse({ do: 'raise-flashes', most: 8, read: true });
const night = (...script: Script) => new Offline(show, script);

/** How often the lamp goes from dark to light in the second that ends at `at`, of a node that ran all the while. */
function flashesUntil(of: Offline, at: number): number {
  const levels = new Levels(of.show.rig.universes);
  const pipeline = Pipeline.for(of.show, levels);
  let flashes = 0;
  let before = 255;
  for (let now = 0; now <= at; now += 25) {
    pipeline.run(of.state(now), START + now);
    const level = levels.snapshot(1)[0] ?? 0;
    if (level > 128 && before < 128 && now > at - 1000) flashes++;
    if (level > 128 || level < 64) before = level;
  }
  return flashes;
}

describe('the limit of flashes', () => {
  it('is three a second, until an operator raises it, and again after one press', () => {
    const it = night([0, press('quick')], [5000, raise], [10_000, { do: 'lower-flashes' }]);
    expect(flashesUntil(it, 4900)).toBeLessThanOrEqual(3);
    expect(flashesUntil(it, 9000)).toBe(8);
    expect(flashesUntil(it, 12_000)).toBeLessThanOrEqual(3);
  });

  it('is raised by an operator alone, who has read the caution, to ten at most; a helper may lower it', () => {
    for (const wrong of [{ most: 8 }, { most: 8, read: false }, { most: 11, read: true }, { most: 3, read: true }])
      expect(command.safeParse({ do: 'raise-flashes', ...wrong }).success).toBe(false);
    expect(roles.filter((role) => maySend(role, raise))).toEqual(['operator']);
    expect(roles.filter((role) => maySend(role, { do: 'lower-flashes' }))).toEqual(['operator', 'helper']);
  });

  it.each([
    { do: 'fall-back' },
    { do: 'leave', minutes: 30 },
    { do: 'lights-up' },
    { do: 'all-off' },
    { do: 'crew', on: true },
  ] as const)('falls back to three, and stays there, by %o', (ending) => {
    const it = night([0, raise], [1000, ending], [2000, { do: 'crew', on: false }], [3000, press('quick')]);
    expect(it.state(1000).flashes).toBeUndefined();
    expect(flashesUntil(it, 6000)).toBeLessThanOrEqual(3);
  });

  it('holds over a blackout and an edit', () => {
    const it = night(
      [0, raise],
      [1000, { do: 'blackout', on: true }],
      [2000, { do: 'blackout', on: false }],
      [3000, press('quick')],
    );
    expect(flashesUntil(it, 6000)).toBe(8);
    expect(changeShow({ id: show.id }, it.show, it.state(0), START).flashes).toMatchObject({ most: 8 });
  });

  it('falls back when no operator has been heard of for as long as the show lets pass, also for what may run alone', () => {
    const it = night([0, press('quick')], [0, raise]);
    const allow = it.show.remoteWatch.allow * 1000;
    const due = (silent: number) => dueBySilence(it.show, it.state(0), START + silent, START, START + silent);
    expect([due(allow - 1), due(allow)]).toEqual([undefined, { do: 'lower-flashes' }]);
  });

  it('is three after a restart and under another show', () => {
    const state = night([0, raise]).state(0);
    const { show: playbook } = night();
    const saved = readState(JSON.parse(stateText(state))) ?? state;
    for (const one of [saved, state])
      expect(revive(playbook, { show: show.id, state: one, at: START, wall: 0 }, START, 1000).flashes).toBeUndefined();
    expect(changeShow({ id: 'other' }, playbook, state, START).flashes).toBeUndefined();
  });

  it('is not raised while the crew works', () => {
    expect(night([0, { do: 'crew', on: true }], [1000, raise]).state(1000).flashes).toBeUndefined();
  });
});

import { expect, it } from 'vitest';
import type { State } from '../../node/api/contract.ts';
import { stateOf } from '../../node/api/state.ts';
import { Night } from '../../node/plan/night.ts';
import { Offline, press, type Script, START } from '../helpers/offline.ts';
import { dimmer, everybody, only, place, tinyShow } from '../helpers/tiny-show.ts';

const show = tinyShow({
  fixtures: [dimmer('lamp', 1), { ...place('hazer', 'hazer', '2ch', 11), use: 'haze' }],
  looks: [
    { id: 'dinner', fade: 0, parts: [{ who: only('lamp'), level: 0.5 }] },
    { id: 'dance', fade: 0, parts: [{ who: only('lamp'), level: 1 }] },
    { id: 'veil', fade: 0, parts: [{ who: [{ use: 'haze' }], haze: 0.2, fan: 0.3 }] },
    { id: 'smoky', fade: 0, parts: [{ who: everybody, level: 1, haze: 0.2 }] },
  ],
});

/** What remotes are told five seconds into a night. */
const told = (night: Offline): State =>
  stateOf(
    {
      show: night.show,
      state: night.state(5000),
      tonight: new Night(START, 'UTC'),
      lastSign: START,
      diskFails: false,
      lost: [],
    },
    undefined,
    START + 5000,
  );

/** What taking the last press back is said to bring. */
function wayBack(script: Script): string | null | undefined {
  const night = new Offline(show, script);
  return told(night).undo?.to;
}

it('haze over a look is taken back as what it is: the look is still there', () => {
  const night = new Offline(show, [
    [0, press('dinner')],
    [1000, press('veil')],
  ]);
  expect(told(night).undo).toMatchObject({ to: 'dinner', without: 'veil' });
});

it('a press over a look and haze leads back to the look: the haze stays on under it', () => {
  expect(
    wayBack([
      [0, press('dinner')],
      [1000, press('veil')],
      [2000, press('dance')],
    ]),
  ).toBe('dinner');
  expect(
    wayBack([
      [0, press('dinner')],
      [1000, press('veil')],
    ]),
  ).toBe('dinner');
  expect(
    wayBack([
      [0, press('smoky')],
      [2000, press('dance')],
    ]),
  ).toBe('smoky');
  // Haze alone was on.
  expect(
    wayBack([
      [0, press('veil')],
      [2000, press('dance')],
    ]),
  ).toBe('veil');
});

it('of a scene of which a part was replaced the button is partly on, until the rest goes too', () => {
  const scene = tinyShow({
    fixtures: [dimmer('wall', 1), dimmer('floor', 2)],
    looks: [
      { id: 'walls', fade: 0, parts: [{ who: only('wall'), level: 1 }] },
      { id: 'floor', fade: 0, parts: [{ who: only('floor'), level: 1 }] },
      { id: 'other', fade: 0, parts: [{ who: only('floor'), level: 0.5 }] },
    ],
    buttons: [
      { id: 'scene', starts: [{ look: 'walls' }, { look: 'floor' }] },
      { id: 'replace', starts: [{ look: 'other' }], stops: [{ look: 'floor' }] },
    ],
  });
  const scenes = (script: Script) => {
    const night = new Offline(scene, script);
    return told(night).buttons.find(({ id }) => id === 'scene')?.state;
  };
  const [on, replaced] = [[0, press('scene')] as const, [1000, press('replace')] as const];
  expect(scenes([on])).toBe('on');
  expect(scenes([on, replaced])).toBe('partly');
  expect(scenes([on, replaced, [2000, press('scene')]])).toBe('on');
  expect(scenes([on, replaced, [2000, { do: 'all-off', fade: 0 }]])).toBe('off');
  expect(scenes([[0, press('walls')]])).toBe('off');
});

import { describe, expect, it } from 'vitest';
import type { Command } from '../../node/core/commands.ts';
import { watchOf } from '../../node/playback/fallback.ts';
import { settle } from '../../node/playback/stack.ts';
import { hazePermitted, Offline, press, release, type Script, START } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, par, place, tinyShow } from '../helpers/tiny-show.ts';

/** What one press does to everything. Slots: festoon 1, par 10 (dimmer), head 20, hazer 40, blinder 50. */
const show = tinyShow({
  fixtures: [
    dimmer('festoon', 1),
    par('par', 10),
    head('head', 20),
    place('hazer', 'hazer', '2ch', 40),
    { ...dimmer('blinder', 50), use: 'blinder' },
  ],
  looks: [
    { id: 'base', fade: 1, stay: true, unattended: true, parts: [{ who: only('festoon'), level: 0.2 }] },
    { id: 'dance', fade: 1, parts: [{ who: everybody, level: 1, colour: '#0000ff', strobe: 2, haze: 1 }] },
    { id: 'four-fifths', fade: 0, parts: [{ who: [...only('festoon'), ...only('par')], level: 0.8 }] },
    { id: 'way-out', fade: 1, parts: [{ who: only('par'), level: 0.4, colour: '#ffffff' }] },
  ],
  movements: [{ id: 'circle', fade: 0, who: only('head'), figure: 'circle', size: { pan: 90, tilt: 40 }, period: { seconds: 2 } }],
  hits: [{ id: 'bump', parts: [{ who: only('festoon'), level: 1 }] }],
  start: [{ look: 'base' }],
  fallback: { look: 'way-out' },
});
const play = (...script: Script): Offline => new Offline(show, script);
const allOff: Command = { do: 'all-off' };
const lightsUp: Command = { do: 'lights-up' };
/** What a dimmer and a par are sent at a level of four fifths, whatever that is in light. */
const calm = play([0, press('four-fifths')]);
const [FESTOON, PAR] = [calm.slot(1, 1000), calm.slot(10, 1000)];
const lights = (night: Offline, at: number) => [1, 10, 24, 40, 50].map((slot) => night.slot(slot, at));

describe('all off, softly', () => {
  it('fades everything, what stays and what the show starts with included, within seconds and not at once', () => {
    const night = play([5000, press('dance')], [10_000, allOff]);
    const [festoon = 0] = lights(night, 12_000);
    expect(festoon).toBeGreaterThan(0);
    expect(festoon).toBeLessThan(255);
    expect(lights(night, 15_000)).toEqual([0, 0, 0, 0, 0]);
  });

  it('does so after a fallback too, and leaves nothing to resume', () => {
    const night = play([5000, press('dance')], [10_000, { do: 'fall-back' }], [20_000, allOff], [30_000, { do: 'resume' }]);
    expect(lights(night, 19_000)[1]).toBeGreaterThan(0);
    for (const at of [25_000, 35_000]) expect(lights(night, at)).toEqual([0, 0, 0, 0, 0]);
    expect(watchOf(night.show, settle(night.show, night.state(26_000), START + 26_000), 0, START + 26_000).phase).toBe('free');
  });

  it('is taken back like any press', () => {
    const night = play([10_000, allOff], [11_000, { do: 'undo', number: 1 }]);
    expect(night.slot(1, 20_000)).toBe(night.slot(1, 9000));
  });
});

describe('lights up, calm', () => {
  it('gives every group a level, whatever people call it', () => {
    const named = tinyShow({ fixtures: [dimmer('a', 1)], groups: [{ id: 'constructor', fixtures: ['a'] }] });
    const night = new Offline(named, [
      [0, { do: 'master', group: 'constructor', level: 0 }],
      [1000, lightsUp],
    ]);
    expect(Object.entries(night.state(2000).groups).find(([id]) => id === 'constructor')?.[1].to).toBe(1);
    expect(night.slot(1, 9000)).toBe(FESTOON);
  });

  it('lights in warm white all that stands still, whatever played, and stills and darkens the rest', () => {
    const night = play(
      [0, hazePermitted],
      [5000, press('dance')],
      [6000, press('circle')],
      [7000, { do: 'blackout', on: true }],
      [8000, lightsUp],
    );
    const [festoon, parLevel, headLevel, haze, blinder] = lights(night, 12_000);
    expect(festoon).toBe(FESTOON);
    expect([headLevel, haze, blinder]).toEqual([0, 0, 0]);
    expect(parLevel).toBe(PAR);
    expect(night.value('par', 'Shutter1Strobe', 12_000)).toBe(0);
    // Warm: 2700 K has more red than green, and more green than blue.
    const [, red = 0, green = 0, blue = 0] = [10, 11, 12, 13].map((slot) => night.slot(slot, 12_000));
    expect(red).toBeGreaterThan(green);
    expect(green).toBeGreaterThan(blue);
    for (const attribute of ['Pan', 'Tilt'] as const)
      expect(night.value('head', attribute, 12_000)).toBe(night.value('head', attribute, 13_000));
  });

  it('needs nobody, so it does not go out when the phones do', () => {
    const night = play([5000, press('dance')], [8000, lightsUp], [60_000, { do: 'fall-back' }]);
    expect(night.slot(1, 70_000)).toBe(FESTOON);
  });

  it('brings the master of all up with it, and every level that was pulled down', () => {
    const night = play([1000, { do: 'master', level: 0 }], [2000, lightsUp]);
    expect([night.slot(1, 1500), night.slot(1, 6000)]).toEqual([0, FESTOON]);
    const pulled = play([1000, { do: 'master', level: 0, group: 'use:uplight' }], [2000, lightsUp]);
    expect([pulled.slot(1, 1500), pulled.slot(1, 6000)]).toEqual([0, FESTOON]);
  });
});

describe('leaving it to the node', () => {
  const dancing: Script = [
    [0, press('dance')],
    [1000, press('circle')],
    [2000, { do: 'leave', minutes: 30 }],
  ];
  const halfAnHour = 30 * 60_000;

  it('keeps the fallback away for that time, and not longer than a watch more', () => {
    const night = play(...dancing);
    const { allow, countdown } = night.show.remoteWatch;
    const phase = (at: number) => watchOf(night.show, night.state(at), START + 2000, START + at).phase;
    expect([phase(2000 + halfAnHour - 1), phase(2000 + halfAnHour + allow * 1000)]).toEqual(['kept', 'warned']);
    expect(watchOf(night.show, night.state(3000), START + 2000, START + 3000).fallsBackAt).toBe(
      START + 2000 + halfAnHour + (allow + countdown) * 1000,
    );
  });

  it('plays on without haze and strobe', () => {
    const night = play([0, hazePermitted], ...dancing);
    expect([night.slot(40, 1900), night.slot(15, 1900) > 0]).toEqual([255, true]);
    expect([night.slot(1, 5000), night.slot(40, 5000), night.slot(15, 5000)]).toEqual([255, 0, 0]);
  });

  it('is over with whatever anybody asks for', () => {
    for (const command of [
      press('dance'),
      release('dance'),
      { do: 'master', level: 0.5 },
      { do: 'leave', minutes: 0 },
    ] as Command[])
      expect(play(...dancing, [9000, command]).state(9000).left).toBeUndefined();
    expect(play(...dancing, [9000, { do: 'let-go' }]).state(8999).left).toBeDefined();
  });
});

it('a hit is nothing that could be taken back: the press before it is', () => {
  const night = play([1000, press('dance')], [2000, press('bump')], [3000, release('bump')]);
  expect(night.state(4000).undo?.number).toBe(1);
});

import { describe, expect, it } from 'vitest';
import { command } from '../../node/core/commands.ts';
import { Levels } from '../../node/core/levels.ts';
import { maySend } from '../../node/core/roles.ts';
import { flash } from '../../node/guards/flash/flash.ts';
import { laser } from '../../node/guards/laser.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { dueBySilence } from '../../node/playback/fallback.ts';
import { readState, stateText } from '../../node/playback/journalled.ts';
import { changeShow, freshState, revive } from '../../node/playback/reduce.ts';
import { Offline, press, type Script, START } from '../helpers/offline.ts';
import { ordinary } from '../helpers/ordinary.ts';
import { everybody, only, par, place, tinyShow } from '../helpers/tiny-show.ts';

/** An invented laser: its dimmer at slot 1, a shutter at 2, green at 3, and a lamp that the show calls one at 10 (dimmer first). */
const show = tinyShow({
  fixtureTypes: [
    {
      id: 'beamer',
      name: 'Invented beamer',
      kind: 'laser',
      modes: [
        {
          id: '3ch',
          name: '3 channels',
          channels: [
            { slot: 1, functions: [{ attribute: 'Dimmer' }] },
            {
              slot: 2,
              functions: [
                {
                  attribute: 'Shutter1',
                  stretches: [
                    { slot: 0, from: 0, to: 9 },
                    { slot: 1, from: 10, to: 255 },
                  ],
                },
              ],
            },
            { slot: 3, functions: [{ attribute: 'ColorAdd_G' }] },
          ],
        },
      ],
    },
  ],
  fixtures: [{ ...place('beamer', 'beamer', '3ch', 1), use: 'laser' }, { ...par('called-one', 10), use: 'laser' }, par('lamp', 20)],
  looks: [
    { id: 'rays', fade: 0, unattended: true, parts: [{ who: everybody, level: 1, colour: '#00ff00' }] },
    { id: 'lamp', fade: 0, parts: [{ who: only('lamp'), level: 1 }] },
  ],
});
const arm = command.parse({ do: 'arm-lasers', plan: true });
/** Levels of the two lasers, whether the shutter of the first is open, and the lamp. */
const lit = (night: Offline, at: number) => [night.slot(1, at), night.slot(10, at), night.slot(2, at) >= 10, night.slot(20, at)];
const CLOSED = [0, 0, false];
const play = (...script: Script) => new Offline(show, script);

describe('a laser', () => {
  it('is closed until it is armed, by its shutter too, whoever asks for it', () => {
    const night = play([0, press('rays')], [5000, arm]);
    expect(lit(night, 4000)).toEqual([...CLOSED, 255]);
    expect(lit(night, 6000)).toEqual([255, 255, true, 255]);
  });

  it('is armed by an operator alone, who says that a licensed plan exists; a helper may close it', () => {
    expect(command.safeParse({ do: 'arm-lasers' }).success).toBe(false);
    expect(command.safeParse({ do: 'arm-lasers', plan: false }).success).toBe(false);
    expect((['operator', 'helper', 'viewer'] as const).map((role) => maySend(role, arm))).toEqual([true, false, false]);
    expect((['operator', 'helper', 'viewer'] as const).map((role) => maySend(role, { do: 'close-lasers' }))).toEqual([
      true,
      true,
      false,
    ]);
  });

  it.each([
    { do: 'close-lasers' },
    { do: 'fall-back' },
    { do: 'all-off' },
    { do: 'lights-up' },
    { do: 'blackout', on: true },
    { do: 'leave', minutes: 30 },
  ] as const)('closes at once, and stays closed until it is armed anew, by %o', (closing) => {
    const night = play(
      [0, arm],
      [0, press('rays')],
      [5000, closing],
      [6000, { do: 'blackout', on: false }],
      [7000, press('rays')],
      [9000, arm],
      [9000, press('rays')],
    );
    for (const at of [5000, 5025, 8900]) expect(lit(night, at).slice(0, 3)).toEqual(CLOSED);
    expect(lit(night, 10_000)).toEqual([255, 255, true, 255]);
  });

  it('closes when nobody has been heard of for as long as the show lets pass, also where nothing needs anybody', () => {
    const night = play([0, arm], [0, press('rays')]);
    const allow = night.show.remoteWatch.allow * 1000;
    const due = (silent: number) => dueBySilence(night.show, night.state(0), START, START, START + silent);
    expect([due(allow - 1), due(allow)]).toEqual([undefined, { do: 'close-lasers' }]);
    expect(dueBySilence(night.show, play([0, press('rays')]).state(0), START, START, START + allow)).toBeUndefined();
  });

  it('is not kept armed by a helper alone: it closes as well when only operators have fallen silent', () => {
    const night = play([0, arm], [0, press('rays')]);
    const allow = night.show.remoteWatch.allow * 1000;
    const due = (silent: number) => dueBySilence(night.show, night.state(0), START + silent, START, START + silent);
    expect([due(allow - 1), due(allow)]).toEqual([undefined, { do: 'close-lasers' }]);
  });

  it('is not armed after a restart, nor under another show', () => {
    const night = play([0, arm]);
    const state = night.state(0);
    expect(state.lasers).toBeDefined();
    const saved = readState(JSON.parse(stateText(state))) ?? state;
    expect(revive(night.show, { show: show.id, state: saved, at: START, wall: 0 }, START, 1000).lasers).toBeUndefined();
    expect(revive(night.show, { show: show.id, state, at: START, wall: 0 }, START, 1000).lasers).toBeUndefined();
    expect(changeShow({ id: 'other' }, night.show, state, START).lasers).toBeUndefined();
    expect(changeShow({ id: show.id }, night.show, state, START).lasers).toBeDefined();
  });

  it('is told by name while it is held', () => {
    const { rig } = play().show;
    const guard = laser(show, rig);
    const frame = Float64Array.from(rig.rest);
    frame[rig.byId.get('called-one')?.lamps[0].cells.get('Dimmer') ?? -1] = 0.5;
    guard.step(frame, { ...ordinary, lasers: false }, undefined);
    expect([...(guard.held?.(undefined) ?? [])]).toContain(1);
  });

  it('is held open by no other guard: where light may not change any more it closes all the same', () => {
    const { rig } = play().show;
    const [first, second] = [laser(show, rig), flash(show, rig)];
    const memory = second.memory();
    const dimmer = rig.byId.get('beamer')?.lamps[0].cells.get('Dimmer') ?? -1;
    for (let now = 0; now < 4000; now += 25) {
      const frame = Float64Array.from(rig.rest);
      // Flashing as fast as frames go: sooner or later it is held, dark or lit.
      for (const { lamps } of rig.fixtures) frame[lamps[0].cells.get('Dimmer') ?? -1] = (now / 25) % 2;
      const instant = { ...ordinary, now, lasers: Math.floor(now / 175) % 2 === 0 };
      first.step(frame, instant, undefined);
      second.step(frame, instant, memory);
      if (!instant.lasers) expect(frame[dimmer], String(now)).toBe(0);
    }
  });

  it('that only the show calls one is not driven either where nothing is known to close it, nor by hand', () => {
    const turning = (use: 'laser' | 'texture') =>
      tinyShow({
        fixtureTypes: [
          {
            id: 'turner',
            name: 'Invented turner',
            modes: [
              {
                id: '2ch',
                name: '2 channels',
                channels: [
                  { slot: 1, default: 90, functions: [{ attribute: 'NoFeature' }] },
                  { slot: 2, default: 128, functions: [{ attribute: 'Pan', physical: [-25, 25] }] },
                ],
              },
            ],
          },
        ],
        fixtures: [par('lamp', 20), { ...place('it', 'turner', '2ch', 1), use }],
      });
    const sent = (use: 'laser' | 'texture') => {
      const compiled = compileShow(turning(use));
      const levels = new Levels(compiled.rig.universes);
      Pipeline.for(compiled, levels).run(freshState(compiled, 0), 0, { slots: [{ universe: 1, slot: 1, value: 200 }] });
      return [...levels.slots(1).subarray(0, 2)];
    };
    expect(sent('laser')).toEqual([0, 0]);
    expect(sent('texture')).toEqual([200, 128]);
  });
});

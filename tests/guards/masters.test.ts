import { describe, expect, it } from 'vitest';
import { masters } from '../../node/guards/masters.ts';
import { levelOf, lightOf, slotAt } from '../helpers/lightness.ts';
import { Offline, press, type Script } from '../helpers/offline.ts';
import { dimmer, everybody, par, place, tinyShow } from '../helpers/tiny-show.ts';

const show = tinyShow({
  fixtures: [
    dimmer('both', 1),
    dimmer('one', 2),
    dimmer('none', 3),
    place('bare', 'rgb-par', '3ch', 4),
    par('par', 10),
    place('uv', 'six-colour-par', '8ch', 20),
  ],
  groups: [
    { id: 'front', fixtures: ['both', 'one'] },
    { id: 'left', fixtures: ['both', 'bare'] },
  ],
  looks: [{ id: 'full', fade: 0, parts: [{ who: everybody, level: 1, colour: '#ff0000', uv: 1, strobe: 1 }] }],
});
const play = (...script: Script): Offline => new Offline(show, [[0, press('full')], ...script]);
const bareNight = play();
const slots = (night: Offline, at: number) => [...night.slots(at).subarray(0, 4)];

describe('masters', () => {
  it('scale nothing as the show starts, unless it says so', () => {
    expect(slots(play(), 0)).toEqual([255, 255, 255, 255]);
    const shy = new Offline(tinyShow({ ...shyShow }), [[0, press('full')]]);
    expect([...shy.slots(0).subarray(0, 2)]).toEqual([Math.round(255 * lightOf(0.4) * lightOf(0.5)), slotAt(0.4)]);
  });

  it('of all scale every light, in the time that is asked for', () => {
    const night = play([1000, { do: 'master', level: 0.2, fade: 4 }]);
    expect(slots(night, 1000)).toEqual([255, 255, 255, 255]);
    expect(slots(night, 3000)).toEqual([slotAt(0.6), slotAt(0.6), slotAt(0.6), slotAt(0.6)]);
    expect(slots(night, 5000)).toEqual([slotAt(0.2), slotAt(0.2), slotAt(0.2), slotAt(0.2)]);
  });

  it('of groups multiply, for a lamp that is in several', () => {
    const night = play(
      [0, { do: 'master', group: 'front', level: 0.8, fade: 0 }],
      [0, { do: 'master', group: 'left', level: 0.6, fade: 0 }],
    );
    // What is left of the light behind one master is behind the other again.
    const both = Math.round(255 * lightOf(0.8) * lightOf(0.6));
    expect(slots(night, 1)).toEqual([both, slotAt(0.8), 255, slotAt(0.6)]);
    const all = play([0, { do: 'master', group: 'front', level: 0.8, fade: 0 }], [0, { do: 'master', level: 0.6, fade: 0 }]);
    expect(slots(all, 1)).toEqual([both, both, slotAt(0.6), slotAt(0.6)]);
  });

  it('leave lamps in their balance: half the light is half the light, however far a lamp is up', () => {
    const uneven = tinyShow({
      fixtures: [place('bright', 'six-colour-par', '9ch-fine', 1), place('low', 'six-colour-par', '9ch-fine', 11)],
      looks: [
        {
          id: 'uneven',
          fade: 0,
          parts: [
            { who: everybody, level: 1 },
            { who: [{ fixture: 'low' }], level: 0.3 },
          ],
        },
      ],
    });
    const dimmers = (level: number) => {
      const all = new Offline(uneven, [
        [0, press('uneven')],
        [1, { do: 'master', level, fade: 0 }],
      ]).slots(2);
      return [0, 10].map((at) => (all[at] ?? 0) * 256 + (all[at + 1] ?? 0));
    };
    const [full, half] = [dimmers(1), dimmers(levelOf(0.5))];
    for (const [i, value] of full.entries()) expect(Math.abs((half[i] ?? 0) - value / 2)).toBeLessThanOrEqual(1);
  });

  it('turn round half way without a jump', () => {
    const night = play([0, { do: 'master', level: 0, fade: 2 }], [1000, { do: 'master', level: 1, fade: 1 }]);
    expect(slots(night, 1000)[0]).toBe(slotAt(0.5));
    // 0.5 and on its way up.
    expect(slots(night, 1500)[0]).toBe(slotAt(0.75));
    expect(slots(night, 2000)[0]).toBe(255);
  });

  it('take the emitters down where there is no dimmer, and leave them where there is one', () => {
    const night = play([0, { do: 'master', level: 0.4, fade: 0 }]);
    expect([...night.slots(1).subarray(3, 6)]).toEqual([slotAt(0.4), 0, 0]);
    // The par: dimmer, then red at full.
    expect([...night.slots(1).subarray(9, 11)]).toEqual([slotAt(0.4), 255]);
  });

  it('at nothing put every light out, whatever strobes', () => {
    const night = play([0, { do: 'master', level: 0, fade: 0 }]);
    expect(slots(night, 1)).toEqual([0, 0, 0, 0]);
    expect(night.slot(10, 1)).toBe(0);
    // The lamp with UV: its dimmer and its UV.
    expect([night.slot(20, 1), night.slot(26, 1)]).toEqual([0, 0]);
  });

  it('at nothing close a lamp that can only open and close', () => {
    const shutterOnly = {
      id: 'shutter-only',
      name: 'Shutter only',
      modes: [
        {
          id: 'm',
          name: 'M',
          channels: [
            {
              slot: 1,
              functions: [
                { attribute: 'Shutter1' as const, to: 31 },
                { attribute: 'Shutter1Strobe' as const, from: 64 },
              ],
            },
          ],
        },
      ],
    };
    const lamp = tinyShow({
      fixtureTypes: [shutterOnly],
      fixtures: [place('lamp', 'shutter-only', 'm', 1)],
      looks: [{ id: 'strobing', fade: 0, parts: [{ who: everybody, level: 1, strobe: 1 }] }],
    });
    const night = new Offline(lamp, [
      [0, press('strobing')],
      [10, { do: 'master', level: 0.5, fade: 0 }],
      [20, { do: 'master', level: 0, fade: 0 }],
    ]);
    expect([0, 10, 20].map((at) => night.slot(1, at))).toEqual([255, 255, 0]);
  });

  it('take down an emitter that is driven directly, once', () => {
    const { rig } = bareNight.show;
    const frame = Float64Array.from(rig.rest);
    const red = (id: string): number => rig.byId.get(id)?.lamps[0].cells.get('ColorAdd_R') ?? -1;
    frame[red('bare')] = 0.8;
    frame[red('par')] = 0.8;
    const step = (all: number): void => {
      masters(bareNight.show, rig).step(
        frame,
        { now: 0, blackout: false, fallen: false, left: false, all, flashes: 3, group: () => 1 },
        undefined,
      );
    };
    step(0.5);
    // The par has a dimmer channel, which comes down by itself.
    expect([frame[red('bare')], frame[red('par')], frame[red('uv')]]).toEqual([expect.closeTo(0.8 * lightOf(0.5), 9), 0.8, -1]);
    step(0);
    expect([frame[red('bare')], frame[red('par')], frame[red('uv')]]).toEqual([0, 0, -1]);
  });

  it('reach every part of a lamp whose whole mixes a colour but has no dimmer', () => {
    const channel = (slot: number, attribute: 'ColorAdd_R' | 'ColorAdd_G', part?: number) => ({
      slot,
      functions: [{ attribute }],
      ...(part === undefined ? {} : { part }),
    });
    const channels = [channel(1, 'ColorAdd_R'), channel(2, 'ColorAdd_G'), channel(3, 'ColorAdd_R', 1), channel(4, 'ColorAdd_G', 1)];
    const odd = tinyShow({
      fixtureTypes: [{ id: 'odd', name: 'Odd', modes: [{ id: 'm', name: 'M', channels }] }],
      fixtures: [place('lamp', 'odd', 'm', 1)],
      looks: [{ id: 'full', fade: 0, parts: [{ who: everybody, level: 1, colour: 'xy 0.45 0.48' }] }],
      masters: { all: 0 },
    });
    expect([...new Offline(odd, [[0, press('full')]]).slots(1).subarray(0, 4)]).toEqual([0, 0, 0, 0]);
  });

  it('of a group that is not there change nothing', () => {
    const night = play([0, { do: 'master', group: 'nobody', level: 0, fade: 0 }]);
    expect(slots(night, 1)).toEqual([255, 255, 255, 255]);
  });

  it('work for a group whatever it is called', () => {
    const named = tinyShow({
      groups: [{ id: 'constructor', fixtures: ['lamp'] }],
      looks: [{ id: 'full', fade: 0, parts: [{ who: everybody, level: 1 }] }],
    });
    expect(new Offline(named, [[0, press('full')]]).slot(1, 0)).toBe(255);
    expect(
      new Offline(named, [
        [0, press('full')],
        [1, { do: 'master', group: 'constructor', level: 0.2, fade: 0 }],
      ]).slot(1, 2),
    ).toBe(slotAt(0.2));
  });
});

const shyShow = {
  fixtures: [dimmer('one', 1), dimmer('two', 2)],
  groups: [{ id: 'first', fixtures: ['one'] }],
  looks: [{ id: 'full', fade: 0, parts: [{ who: everybody, level: 1 }] }],
  masters: { all: 0.4, groups: { first: 0.5 } },
};

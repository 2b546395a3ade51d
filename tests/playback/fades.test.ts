import { describe, expect, it } from 'vitest';
import { Offline, press, release } from '../helpers/offline.ts';
import { only, par, place, tinyShow } from '../helpers/tiny-show.ts';

const walls = only('wall');
const show = tinyShow({
  fixtures: [par('wall', 1), place('spot', 'spot-head', '12ch', 20)],
  looks: [
    { id: 'blue', fade: 2, fadeOut: 4, parts: [{ who: walls, level: 1, colour: '#0000ff' }] },
    { id: 'red', fade: 2, parts: [{ who: walls, level: 1, colour: '#ff0000' }] },
    { id: 'faint', fade: 2, parts: [{ who: walls, level: 0.1, colour: '#ff0000' }] },
    { id: 'white', fade: 0, parts: [{ who: walls, level: 1 }] },
    { id: 'tint', fade: 2, parts: [{ who: walls, colour: '#0000ff' }] },
    { id: 'filter', fade: 2, fadeOut: 4, parts: [{ who: only('spot'), level: 1, colour: '#0030f0' }] },
  ],
  chases: [
    {
      id: 'turns',
      fade: 0,
      steps: [
        { length: { seconds: 1 }, fade: 1, parts: [{ who: walls, level: 1, colour: '#0000ff' }] },
        { length: { seconds: 1 }, fade: 1, parts: [{ who: walls, level: 0 }] },
      ],
    },
  ],
});

/** Red, green and blue slots of the par, behind its dimmer. */
const slots = (night: Offline, at: number) => [...night.slots(at).subarray(1, 4)];

describe('a colour that fades', () => {
  it('is itself all the way, in from the dark and out into it', () => {
    const night = new Offline(show, [
      [0, press('blue')],
      [5000, release('blue')],
    ]);
    for (const at of [300, 1000, 1700, 6000, 7500, 8500]) {
      const [red, green, blue] = slots(night, at);
      expect([red, green], `at ${at} ms`).toEqual([0, 0]);
      expect(blue, `at ${at} ms`).toBeGreaterThan(0);
    }
  });

  it('passes through what lies between where there is light below', () => {
    const night = new Offline(show, [
      [0, press('red')],
      [3000, press('blue')],
    ]);
    const [red = 0, , blue = 0] = slots(night, 4000);
    expect(Math.min(red, blue)).toBeGreaterThan(20);
  });

  it('weighs by how much light there is of it: a faint look leaves hardly a trace in a strong one', () => {
    const weighed = (over: string) => {
      const night = new Offline(show, [
        [0, press('blue')],
        [3000, press(over)],
      ]);
      const [red = 0, , blue = 0] = slots(night, 4000);
      return red / blue;
    };
    expect(weighed('faint')).toBeLessThan(0.2 * weighed('red'));
  });

  it('that names no level comes over the light that is there, and does not jump', () => {
    const night = new Offline(show, [
      [0, press('white')],
      [1000, press('tint')],
    ]);
    const reds = [1000, 1025, 1500, 2000, 2500, 3000].map((at) => slots(night, at)[0] ?? 0);
    expect(reds[1]).toBeGreaterThan((reds[0] ?? 0) - 32);
    expect(reds).toEqual([...reds].sort((a, b) => b - a));
    expect(reds.at(-1)).toBe(0);
  });

  it('is itself in a chase whose other step only darkens', () => {
    const night = new Offline(show, [[0, press('turns')]]);
    for (const at of [1300, 1800, 2200, 2700]) expect(slots(night, at).slice(0, 2), `at ${at} ms`).toEqual([0, 0]);
  });

  it('is the filter’s from the first light to the last, where a wheel makes it', () => {
    const night = new Offline(show, [
      [0, press('filter')],
      [5000, release('filter')],
    ]);
    expect([100, 1000, 1900, 5500, 8900].map((at) => night.value('spot', 'Color1', at))).toEqual([6, 6, 6, 6, 6]);
  });
});

import { describe, expect, it } from 'vitest';
import { Offline, press, release, type Script } from '../helpers/offline.ts';
import { everybody, head, tinyShow } from '../helpers/tiny-show.ts';

const centre = { pan: 30, tilt: -20 };
const size = { pan: 20, tilt: 20 };
const period = { seconds: 8 };
const common = { who: everybody, size, period, fade: 0 };

const show = tinyShow({
  fixtures: [head('a', 1), head('b', 13), head('c', 25), head('d', 37)],
  looks: [{ id: 'aimed', fade: 0, parts: [{ who: everybody, level: 1, aim: { pan: 10, tilt: 5 } }] }],
  movements: [
    { id: 'circle', figure: 'circle', aim: centre, ...common },
    { id: 'eight', figure: 'eight', aim: centre, ...common },
    { id: 'sweep', figure: 'sweep', aim: centre, ...common },
    { id: 'drift', figure: 'drift', aim: centre, ...common },
    { id: 'spread', figure: 'circle', aim: centre, spread: 1, ...common },
    { id: 'mirror', figure: 'circle', aim: centre, mirror: true, ...common },
    { id: 'around', figure: 'circle', ...common },
    { id: 'slow', figure: 'circle', ...common, fade: 1, fadeOut: 10 },
    { id: 'beaten', figure: 'circle', aim: centre, ...common, period: { beats: 4 } },
  ],
  tempo: 120,
});
const play = (...script: Script): Offline => new Offline(show, script);
const where = (night: Offline, fixture: string, at: number): [pan: number, tilt: number] => [
  night.value(fixture, 'Pan', at),
  night.value(fixture, 'Tilt', at),
];
const distance = ([pan, tilt]: readonly [number, number], from = centre): number => Math.hypot(pan - from.pan, tilt - from.tilt);
const throughout = (millis: number, step: number): number[] =>
  Array.from({ length: Math.floor(millis / step) + 1 }, (_, i) => i * step);

/** Figures: x = A cos wt, y = A sin wt; x = A sin wt, y = B sin 2wt (the circle, and the Lissajous curve of 1 to 2). */
describe('a figure', () => {
  it('of a circle keeps its distance from its aim, and comes round in its period', () => {
    const night = play([0, press('circle')]);
    for (const at of throughout(8000, 125)) expect(distance(where(night, 'a', at))).toBeCloseTo(20, 10);
    const quarters = [0, 2000, 4000, 6000, 8000].map((at) => where(night, 'a', at).map((angle) => Math.round(angle * 1e6) / 1e6));
    expect(quarters).toEqual([
      [50, -20],
      [30, 0],
      [10, -20],
      [30, -40],
      [50, -20],
    ]);
  });

  it('of eight crosses itself in its aim, and reaches as far as its size', () => {
    const night = play([0, press('eight')]);
    expect(distance(where(night, 'a', 0))).toBeCloseTo(0, 10);
    expect(distance(where(night, 'a', 4000))).toBeCloseTo(0, 10);
    const path = throughout(8000, 100).map((at) => where(night, 'a', at));
    expect(Math.max(...path.map(([pan]) => pan))).toBeCloseTo(50, 10);
    expect(Math.max(...path.map(([, tilt]) => tilt))).toBeCloseTo(0, 10);
    // Two loops: an eighth of the way round the tilt is at its far end, three eighths at the other.
    expect(where(night, 'a', 1000)[1]).toBeCloseTo(0, 10);
    expect(where(night, 'a', 3000)[1]).toBeCloseTo(-40, 10);
  });

  it('of a sweep moves pan only', () => {
    const night = play([0, press('sweep')]);
    expect(throughout(8000, 500).map((at) => night.value('a', 'Tilt', at))).toEqual(throughout(8000, 500).map(() => -20));
    expect(where(night, 'a', 2000)[0]).toBeCloseTo(50, 10);
    expect(where(night, 'a', 6000)[0]).toBeCloseTo(10, 10);
  });

  it('of a drift stays inside its size, moves without a jump and does not come back to where it was after a period', () => {
    const night = play([0, press('drift')]);
    const path = throughout(120_000, 500).map((at) => where(night, 'a', at));
    for (const [pan, tilt] of path) {
      expect(Math.abs(pan - centre.pan)).toBeLessThanOrEqual(20);
      expect(Math.abs(tilt - centre.tilt)).toBeLessThanOrEqual(20);
    }
    // No axis goes faster than the sum of its waves: under 2 pi * 20 degrees a period, 7.9 degrees in half a second.
    for (const [i, [pan, tilt]] of path.entries()) {
      const [oldPan, oldTilt] = path[i - 1] ?? [pan, tilt];
      expect(Math.hypot(pan - oldPan, tilt - oldTilt)).toBeLessThan(7.9 * Math.SQRT2);
    }
    const [pan, tilt] = where(night, 'a', 8000);
    expect(distance(where(night, 'a', 16_000), { pan, tilt })).toBeGreaterThan(0.5);
  });

  it('spreads its heads evenly over the whole of it', () => {
    const night = play([0, press('spread')]);
    const placed = ['a', 'b', 'c', 'd'].map((fixture) => where(night, fixture, 0).map((angle) => Math.round(angle * 1e6) / 1e6));
    expect(placed).toEqual([
      [50, -20],
      [30, 0],
      [10, -20],
      [30, -40],
    ]);
  });

  it('turns every other head the other way when it is mirrored', () => {
    const night = play([0, press('mirror')]);
    for (const at of throughout(8000, 500)) {
      const [pan, tilt] = where(night, 'a', at);
      expect(where(night, 'b', at)[0] - centre.pan).toBeCloseTo(centre.pan - pan, 10);
      expect(where(night, 'b', at)[1]).toBeCloseTo(tilt, 10);
      expect(where(night, 'c', at)).toEqual([pan, tilt]);
    }
  });

  it('counts in beats where it is asked to', () => {
    // 4 beats of 120 a minute are 2 s.
    const night = play([0, press('beaten')]);
    expect(where(night, 'a', 500)[1]).toBeCloseTo(0, 10);
    expect(where(night, 'a', 2000)[0]).toBeCloseTo(50, 10);
  });

  it('in beats goes on from where it is when another tempo is tapped', () => {
    const before = where(play([0, press('beaten')]), 'a', 700);
    expect(where(play([0, press('beaten')], [700, { do: 'tempo', bpm: 90 }]), 'a', 700)).toEqual(before);
  });
});

describe('a figure without an aim', () => {
  it('is drawn around wherever the heads are aimed below', () => {
    const night = play([0, press('aimed')], [1000, press('around')]);
    for (const at of throughout(8000, 500))
      expect(distance(where(night, 'a', 1000 + at), { pan: 10, tilt: 5 })).toBeCloseTo(20, 10);
  });

  it('covers nothing, so that what it is drawn around stays', () => {
    const night = play([0, press('aimed')], [1000, press('around')], [60_000, release('around')]);
    expect(where(night, 'a', 60_000)).toEqual([10, 5]);
  });

  it('pressed again changes nothing', () => {
    const once = play([0, press('aimed')], [1000, press('around')]);
    const twice = play([0, press('aimed')], [1000, press('around')], [2500, press('around')]);
    expect(where(twice, 'a', 5000)).toEqual(where(once, 'a', 5000));
  });

  it('pressed again while it goes neither jumps nor doubles', () => {
    const script: Script = [
      [0, press('aimed')],
      [1000, press('slow')],
      [3000, release('slow')],
    ];
    const released = play(...script);
    const again = play(...script, [4000, press('slow')]);
    expect(where(again, 'a', 4000)).toEqual(where(released, 'a', 4000));
    for (const at of throughout(12_000, 50)) {
      expect(distance(where(again, 'a', 4000 + at), { pan: 10, tilt: 5 })).toBeLessThanOrEqual(20 + 1e-9);
    }
    expect(distance(where(again, 'a', 5000), { pan: 10, tilt: 5 })).toBeCloseTo(20, 10);
  });

  it('pressed again from under another aim makes way for itself', () => {
    const night = play([0, press('aimed')], [1000, press('slow')], [3000, press('circle')], [3500, press('slow')]);
    for (const at of throughout(8000, 250)) expect(distance(where(night, 'a', 5000 + at))).toBeLessThanOrEqual(40 + 1e-9);
    expect(
      night.state(20_000).entries.filter((entry) => entry.item === 'movement:slow' && entry.release === undefined),
    ).toHaveLength(1);
  });
});

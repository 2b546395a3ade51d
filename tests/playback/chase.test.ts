import { describe, expect, it } from 'vitest';
import { Offline, press, type Script } from '../helpers/offline.ts';
import { dimmer, everybody, only, place, tinyShow } from '../helpers/tiny-show.ts';

const seconds = (of: number) => ({ seconds: of });
const beats = (of: number) => ({ beats: of });
const all = (level: number) => [{ who: everybody, level }];

const show = tinyShow({
  fixtures: [dimmer('left', 1), dimmer('right', 2)],
  looks: [
    { id: 'glow', fade: 0, parts: all(0.1) },
    { id: 'left-glow', fade: 0, parts: [{ who: only('left'), level: 0.1 }] },
  ],
  chases: [
    {
      id: 'steps',
      fade: 0,
      steps: [
        { length: seconds(1), parts: all(0.2) },
        { length: seconds(2), parts: all(0.6) },
        { length: seconds(0.5), parts: all(1) },
      ],
    },
    {
      id: 'soft',
      fade: 0,
      steps: [
        { length: seconds(1), fade: 0.5, parts: all(1) },
        { length: seconds(1), fade: 1, parts: all(0) },
      ],
    },
    {
      id: 'turns',
      fade: 0,
      steps: [
        { length: seconds(1), parts: [{ who: only('left'), level: 1 }] },
        { length: seconds(1), fade: 0.5, parts: [{ who: only('right'), level: 1 }] },
      ],
    },
    { id: 'pulse', fade: 0, steps: [0.1, 0.2, 0.3, 0.4].map((level) => ({ length: beats(1), parts: all(level) })) },
    {
      id: 'mixed',
      fade: 1,
      steps: [
        { length: seconds(2), parts: all(1) },
        { length: seconds(2), parts: [{ who: only('left'), level: 0 }] },
      ],
    },
  ],
  tempo: 120,
});
const play = (...script: Script): Offline => new Offline(show, script);
const left = (night: Offline, ...instants: number[]) => instants.map((at) => night.value('left', 'Dimmer', at));
const right = (night: Offline, ...instants: number[]) => instants.map((at) => night.value('right', 'Dimmer', at));

describe('a chase in seconds', () => {
  it('gives each step its own length, round and round', () => {
    const night = play([100, press('steps')]);
    expect(left(night, 100, 1099, 1100, 3099, 3100, 3599, 3600, 4600)).toEqual([0.2, 0.2, 0.6, 0.6, 1, 1, 0.2, 0.6]);
    // 1000 rounds of 3.5 s later nothing has drifted.
    expect(left(night, 3_500_100, 3_501_099, 3_501_100)).toEqual([0.2, 0.2, 0.6]);
  });

  it('comes over from the step before in the share of the step that is its fade', () => {
    const night = play([0, press('soft')]);
    expect(left(night, 1000, 1250, 1500, 2000, 2125, 2250, 2500, 2999)).toEqual([1, 0.75, 0.5, 0, 0.25, 0.5, 1, 1]);
  });

  it('does not come from its last step in its very first, but starts with it', () => {
    expect(left(play([0, press('soft')]), 0, 100, 400)).toEqual([1, 1, 1]);
  });

  it('lets through what a step does not name, and fades from it and to it', () => {
    const night = play([0, press('glow')], [1000, press('turns')]);
    expect(left(night, 1500, 2000, 2500, 2900, 3000)).toEqual([1, 1, 0.1, 0.1, 1]);
    expect(right(night, 1500, 2000, 2500, 2900, 3000)).toEqual([0.1, 0.1, 1, 1, 0.1]);
    // Half way through the fade: 0.1 + (1 - 0.1) / 2 on both sides.
    expect(left(night, 2250)[0]).toBeCloseTo(0.55, 12);
    expect(right(night, 2250)[0]).toBeCloseTo(0.55, 12);
  });

  it('never covers what some of its steps leave free', () => {
    const night = play([0, press('glow')], [1000, press('mixed')], [60_000, { do: 'blackout', on: false }]);
    expect(night.stack(60_000)).toEqual(['look:glow', 'chase:mixed']);
  });

  it('called back from under something is not drawn twice, out of step with itself', () => {
    // The left is hidden from 500 ms on, so that the chase does not leave; from 3000 ms on it plays afresh, 1 s ahead of its old self.
    const night = play(
      [0, press('mixed')],
      [500, press('left-glow')],
      [3000, press('mixed')],
      [6000, { do: 'blackout', on: false }],
    );
    expect(night.stack(3000)).toEqual(['chase:mixed', 'look:left-glow', 'chase:mixed']);
    expect(night.stack(6000).filter((item) => item === 'chase:mixed')).toHaveLength(1);
    // Steps of 2 s: the new one names the right until 5 s and again from 7 s; its old self would from 4 s to 6 s.
    expect(right(night, 4500, 5500, 7500)).toEqual([1, 0, 1]);
  });

  it('changes half way where there is nothing between', () => {
    const strobing = tinyShow({
      fixtures: [place('lamp', 'rgb-par', '5ch', 1)],
      chases: [
        {
          id: 'strobe',
          fade: 0,
          steps: [
            { length: seconds(1), fade: 1, parts: [{ who: everybody, strobe: 0 }] },
            { length: seconds(1), fade: 1, parts: [{ who: everybody, strobe: 10 }] },
          ],
        },
      ],
    });
    const night = new Offline(strobing, [[0, press('strobe')]]);
    expect([1499, 1500, 2499, 2500].map((at) => night.value('lamp', 'Shutter1Strobe', at))).toEqual([0, 10, 10, 0]);
  });
});

describe('a chase in beats', () => {
  // 120 a minute: a beat each 500 ms, counted from the start of the show.
  it('steps on the beats, whenever the thumb came down', () => {
    const night = play([1100, press('pulse')]);
    expect(left(night, 1100, 1499, 1500, 1999, 2000, 2500, 3000)).toEqual([0.1, 0.1, 0.2, 0.2, 0.3, 0.4, 0.1]);
  });

  it('takes a thumb that comes a little early for the beat that it meant', () => {
    const night = play([1480, press('pulse')]);
    expect(left(night, 1480, 1500, 1999, 2000)).toEqual([0.1, 0.1, 0.1, 0.2]);
  });

  it('follows the tempo', () => {
    const night = play([0, press('pulse')], [1000, { do: 'tempo', bpm: 60 }]);
    expect(left(night, 1000, 1999, 2000, 3000)).toEqual([0.3, 0.3, 0.4, 0.1]);
  });

  it('lets the tapped beat fall on the tap, and the next a beat later', () => {
    // The count stands at 4.2 when 100 a minute is tapped: beat 4 fell here, beat 5 falls 600 ms on.
    const late = play([0, press('pulse')], [2100, { do: 'tempo', bpm: 100 }]);
    expect(left(late, 2100, 2699, 2700, 3299, 3300)).toEqual([0.1, 0.1, 0.2, 0.2, 0.3]);
    // It stands at 3.8: beat 4 is the one that was tapped, though its step is a moment late.
    const early = play([0, press('pulse')], [1900, { do: 'tempo', bpm: 100 }]);
    expect(left(early, 2499, 2500, 3099, 3100)).toEqual([0.1, 0.2, 0.2, 0.3]);
  });

  it('never turns back when a tempo is tapped, however badly', () => {
    const taps: Script = [700, 1234, 1800, 1900, 2750, 3000].map((at, i) => [
      at,
      { do: 'tempo', bpm: [300, 20, 77, 140, 20, 120][i] ?? 120 },
    ]);
    const pulse = tinyShow({
      chases: [{ id: 'ramp', fade: 0, steps: Array.from({ length: 64 }, (_, i) => ({ length: beats(0.25), parts: all(i / 64) })) }],
    });
    const night = new Offline(pulse, [[0, press('ramp')], ...taps]);
    const seen = Array.from({ length: 400 }, (_, i) => night.value('lamp', 'Dimmer', i * 10));
    for (const [i, value] of seen.entries()) {
      // A step at a time, and only forward: a 64th of the round, 10 ms at the fastest tempo, made up at one and a half times its pace.
      expect(value - (seen[i - 1] ?? 0)).toBeGreaterThanOrEqual(0);
      expect(value - (seen[i - 1] ?? 0)).toBeLessThanOrEqual(1 / 64);
    }
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seenLook } from '../../node/api/seen-look.ts';
import type { Command } from '../../node/core/commands.ts';
import { Latest } from '../../node/core/latest.ts';
import type { Instant } from '../../node/guards/guard.ts';
import { masters } from '../../node/guards/masters.ts';
import { groupLevel, levelOf } from '../../node/playback/state.ts';
import type { Part } from '../../node/show/document.ts';
import { Offline, press, START } from '../helpers/offline.ts';
import { dimmer, par, place, tinyShow } from '../helpers/tiny-show.ts';

/** Lamps with a dimmer, with emitters alone, and with both; one of them in a group. */
const show = tinyShow({
  fixtures: [dimmer('bulb', 1), par('par', 10), place('emitters', 'rgb-par', '3ch', 20)],
  groups: [{ id: 'walls', name: 'Walls', fixtures: ['par', 'emitters'] }],
  looks: [
    {
      id: 'dinner',
      fade: 0,
      parts: [
        { who: [{ fixture: 'bulb' }], level: 0.8 },
        { who: [{ fixture: 'par' }], level: 0.6, colour: '#ff8000' },
        { who: [{ fixture: 'emitters' }], level: 0.4, colour: '#00ff00' },
      ],
    },
  ],
});
const COME = 10_000;

/** The look that is taken while masters stand so, out of a frame that the guard itself has changed. */
function taken(...commands: readonly Command[]) {
  const night = new Offline(show, [[0, press('dinner')], ...commands.map((one) => [1000, one] as const)]);
  const state = night.state(COME);
  const frame = night.frame(COME);
  const now = START + COME;
  const instant = { all: levelOf(state.all, now), group: (id: string) => groupLevel(state, id, now) } as Instant;
  masters(night.show, night.show.rig).step(frame, instant, undefined);
  const published = new Latest(Float64Array, frame.length);
  published.publish(Float64Array.from(frame));
  return seenLook(night.show, state, published, now);
}
const master = (level: number, group?: string): Command => ({ do: 'master', level, ...(group === undefined ? {} : { group }) });
const levelsOf = (parts: readonly Part[]): Record<string, number> =>
  Object.fromEntries(parts.slice(1).map(({ who, level }) => [Object.values(who[0] ?? {})[0] as string, level ?? -1]));

describe('A look of what is on', () => {
  it('is as it is where no master holds light back', () => {
    const { parts, held } = taken();
    expect(held).toBeUndefined();
    const levels = levelsOf(parts);
    expect(levels.bulb).toBeCloseTo(0.8, 2);
    expect(levels.par).toBeCloseTo(0.6, 2);
    expect(levels.emitters).toBeCloseTo(0.4, 2);
  });

  it('does not bake masters in, whatever they are; the way it is seen is there as well', () => {
    const without = levelsOf(taken().parts);
    fc.assert(
      fc.property(fc.integer({ min: 20, max: 99 }), fc.integer({ min: 20, max: 99 }), (all, walls) => {
        const { parts, held, left } = taken(master(all / 100), master(walls / 100, 'walls'));
        for (const [lamp, level] of Object.entries(levelsOf(parts))) expect(level, lamp).toBeCloseTo(without[lamp] ?? -1, 2);
        expect(held?.words).toBe(`Levels (All lights at ${all} % and Walls at ${walls} %)`);
        const seen = levelsOf(held?.seen ?? []);
        for (const lamp of ['bulb', 'par', 'emitters']) expect(seen[lamp] ?? 0).toBeLessThan(without[lamp] ?? -1);
        expect(left).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  it('says of what a master has closed that it is not known, and leaves it dark', () => {
    const { parts, left } = taken(master(0, 'walls'));
    expect(levelsOf(parts)).toEqual({ bulb: expect.closeTo(0.8, 2) });
    expect(left).toEqual(['A master is at 0 %, so what is on par and emitters is not known: in the look they are dark.']);
  });
});

import { describe, expect, it } from 'vitest';
import type { Instant } from '../../node/guards/guard.ts';
import { unhurried } from '../../node/guards/unhurried.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { head, tinyShow } from '../helpers/tiny-show.ts';

const { show, rig } = compileShow(tinyShow({ fixtures: [head('head', 1)] }));
const pan = rig.byId.get('head')?.lamps[0].cells.get('Pan') ?? Number.NaN;
const FRAME = 25;

/** Where the head looks, frame by frame, while a figure swings it by 100 degrees twice a second; left to the node from the second on. */
function swings(): { asked: number[]; done: number[] } {
  const guard = unhurried(show, rig);
  const memory = guard.memory();
  const asked: number[] = [];
  const done: number[] = [];
  for (let now = 0; now < 4000; now += FRAME) {
    const frame = Float64Array.from(rig.rest);
    frame[pan] = 50 * Math.sin((now / 1000) * 4 * Math.PI);
    asked.push(frame[pan]);
    const instant: Instant = {
      now,
      blackout: false,
      fallen: false,
      left: now >= 1000 && now < 3000,
      all: 1,
      flashes: 3,
      group: () => 1,
    };
    guard.step(frame, instant, memory);
    done.push(frame[pan] as number);
  }
  return { asked, done };
}

describe('while what plays is left to the node', () => {
  it('no head turns by more than 20 degrees a second, and it goes on turning', () => {
    const { done } = swings();
    const steps = done.slice(41, 120).map((angle, i) => Math.abs(angle - (done[40 + i] as number)));
    expect(Math.max(...steps)).toBeLessThanOrEqual((20 * FRAME) / 1000 + 1e-9);
    expect(new Set(done.slice(41, 120)).size).toBeGreaterThan(10);
  });

  it('and before and afterwards it is where it was asked to be', () => {
    const { asked, done } = swings();
    expect(done.slice(0, 40)).toEqual(asked.slice(0, 40));
    expect(done.slice(120)).toEqual(asked.slice(120));
  });
});

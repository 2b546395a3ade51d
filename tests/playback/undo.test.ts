import { describe, expect, it } from 'vitest';
import type { Command } from '../../node/core/commands.ts';
import { Offline, press, type Script } from '../helpers/offline.ts';
import { dimmer, everybody, only, tinyShow } from '../helpers/tiny-show.ts';

const show = tinyShow({
  fixtures: [dimmer('wall', 1), dimmer('bar', 2)],
  looks: [
    { id: 'dinner', fade: 2, parts: [{ who: everybody, level: 0.4 }] },
    { id: 'dance', fade: 1, fadeOut: 4, parts: [{ who: everybody, level: 1 }] },
    { id: 'bar', fade: 0, parts: [{ who: only('bar'), level: 0.7 }] },
  ],
  buttons: [{ id: 'scene', starts: [{ look: 'bar' }], stops: [{ look: 'dinner' }] }],
});
const undo = (number: number): Command => ({ do: 'undo', number });
const play = (...script: Script): Offline => new Offline(show, script);
/** Levels of wall and bar. */
const levels = (night: Offline, at: number) => [night.value('wall', 'Dimmer', at), night.value('bar', 'Dimmer', at)];

describe('undo of the last press', () => {
  it('lets what it started go by its own fade, and what it covered is there again, without a dip', () => {
    const night = play([0, press('dinner')], [5000, press('dance')], [9000, undo(2)]);
    expect(night.stack(8999)).toContain('look:dance');
    expect(levels(night, 9000)).toEqual([1, 1]);
    expect(levels(night, 11_000)[0]).toBeCloseTo(0.7, 12);
    expect(levels(night, 13_000)).toEqual([0.4, 0.4]);
  });

  it('brings back what had left the stack because it was covered', () => {
    const night = play([0, press('dinner')], [5000, press('dance')], [8000, { do: 'blackout', on: false }], [9000, undo(2)]);
    expect(night.stack(8500)).toEqual(['look:dance']);
    for (const at of [9000, 10_000, 13_000])
      expect(levels(night, at)[0]).toBeCloseTo(0.4 + 0.6 * Math.max(0, 1 - (at - 9000) / 4000), 12);
  });

  it('brings back what it let go, from where that is on its way out, and after it has gone', () => {
    const early = play([0, press('dinner')], [5000, press('scene')], [6000, undo(2)]);
    expect(levels(early, 6000)[0]).toBeCloseTo(0.2, 12);
    expect(levels(early, 7000)[0]).toBeCloseTo(0.3, 12);
    expect(levels(early, 8000)).toEqual([0.4, 0.4]);
    const late = play([0, press('dinner')], [5000, press('scene')], [8000, { do: 'tempo', bpm: 99 }], [9000, undo(2)]);
    expect(late.stack(8500)).toEqual(['look:bar']);
    expect(levels(late, 9000)[0]).toBe(0);
    expect(levels(late, 11_000)).toEqual([0.4, 0.4]);
  });

  it('of letting everything go brings everything back', () => {
    const night = play([0, press('dinner')], [5000, { do: 'all-off', fade: 1 }], [7000, undo(2)]);
    expect(levels(night, 6500)).toEqual([0, 0]);
    expect(levels(night, 9000)).toEqual([0.4, 0.4]);
  });

  it('works through a blackout, a master or a tap that came after it, and leaves those alone', () => {
    const night = play([0, press('dinner')], [5000, press('dance')], [6000, { do: 'master', level: 0.5 }], [7000, undo(2)]);
    expect(night.state(7000).all.to).toBe(0.5);
    expect(night.stack(60_000)).toContain('look:dinner');
    expect(levels(night, 60_000)).toEqual([0.4, 0.4]);
  });

  it('is once only, and of the last press only', () => {
    const once = play([0, press('dinner')], [5000, press('dance')], [6000, undo(2)], [7000, undo(2)]);
    expect(once.state(7000)).toEqual({ ...once.state(6000), number: 4 });
    const older = play([0, press('dinner')], [5000, press('dance')], [6000, press('bar')], [7000, undo(2)]);
    expect(levels(older, 60_000)).toEqual([1, 0.7]);
  });
});

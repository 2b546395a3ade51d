import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Schedule } from '../../node/engine/schedule.ts';

const START = Date.UTC(2030, 5, 15, 20, 0, 0);
/**
 * Shortest break-to-break time of 512 slots, ANSI E1.11: 92 us break, 12 us mark, 513 slots of 44 us, 22.676 ms, 44.1 Hz
 * (ANSI E1.11). The node keeps to 44 Hz.
 */
const SHORTEST = 1000 / 44;
/** Millisecond fractions of an epoch instant end at a quarter of a microsecond. */
const ROUNDING = 0.001;

interface Night {
  readonly until: number;
  /** Instants of commands, from the start. */
  readonly commands?: readonly number[];
  /** How late the thread wakes for its nth frame. */
  readonly late?: (frame: number) => number;
  /** Whether the nth frame has anything to send. */
  readonly sends?: (frame: number) => boolean;
  readonly rate?: number;
}

/** A thread that sleeps until the next frame is due or a command comes, and draws when one is due. Gives the instants of its frames. */
function run({ until, commands = [], late = () => 0, sends = () => true, rate = 40 }: Night): { at: number; sent: boolean }[] {
  const schedule = new Schedule(rate, START);
  const waiting = [...commands].sort((a, b) => a - b);
  const frames: { at: number; sent: boolean }[] = [];
  let now = START;
  while (now < START + until) {
    const due = Math.max(now, schedule.next());
    const command = waiting[0];
    if (command !== undefined && START + command <= due) {
      now = Math.max(now, START + command);
      waiting.shift();
      schedule.ask();
      continue;
    }
    now = due + late(frames.length);
    const sent = sends(frames.length);
    schedule.drawn(now, sent);
    frames.push({ at: now - START, sent });
  }
  return frames;
}

const instants = (night: Night): number[] => run(night).map(({ at }) => at);
const gaps = (of: readonly number[]): number[] => of.slice(1).map((at, i) => at - (of[i] ?? 0));

describe('the schedule', () => {
  it('draws 40 frames a second, on a grid', () => {
    expect(instants({ until: 100 })).toEqual([0, 25, 50, 75, 100]);
    expect(instants({ until: 3_600_000 })).toHaveLength(40 * 3600 + 1);
  });

  it('keeps its average when the thread wakes late: nothing drifts', () => {
    const frames = instants({ until: 60_000, late: (i) => [0, 0.3, 1.9, 0.1, 2][i % 5] ?? 0 });
    expect(frames.length).toBe(40 * 60 + 1);
    for (const [i, at] of frames.entries()) expect(Math.abs(at - 25 * i)).toBeLessThanOrEqual(2);
  });

  it('keeps its average when each frame comes a hair before its time', () => {
    const schedule = new Schedule(40, START);
    let frames = 0;
    for (; schedule.next() < START + 60_000; frames++) schedule.drawn(schedule.next() - 0.04, true);
    expect(frames).toBe(40 * 60);
  });

  it('draws at once when a command comes and nothing has been sent for a while', () => {
    const frames = instants({ until: 60, commands: [12], sends: (i) => i > 0 });
    expect(frames.slice(0, 2)).toEqual([0, 12]);
  });

  it('draws for a command as soon as the last frame that was sent permits, then goes on from there', () => {
    const [first, second, third] = instants({ until: 60, commands: [5] });
    expect(first).toBe(0);
    expect(second).toBeCloseTo(SHORTEST, 3);
    expect(third).toBeCloseTo(SHORTEST + 25, 3);
  });

  it('counts the limit from what was sent, not from what was drawn', () => {
    // Only the frame at 0 goes out; at 26 ms the one of 25 ms, which had nothing to send, is in nobody's way.
    expect(instants({ until: 30, commands: [26], sends: (i) => i === 0 })).toEqual([0, 25, 26, 51]);
  });

  it('answers several commands with one frame', () => {
    expect(instants({ until: 60, commands: [1, 2, 3, 20] }).filter((at) => at < 40)).toHaveLength(2);
  });

  it('after a frame that came late keeps its distance before it is back on the grid', () => {
    const frames = instants({ until: 240, late: (i) => (i === 1 ? 20 : 0) });
    // 25 came at 45; the next are 22.727 ms apart each, as fast as it goes, until the grid is reached again: 20 ms are made up for in nine gaps, by 250.
    for (const [i, gap] of gaps(frames.slice(1, 5)).entries()) expect(gap, `gap ${i}`).toBeCloseTo(SHORTEST, 2);
    expect(frames.at(-1)).toBe(250);
  });

  it('makes up for nothing after a stall', () => {
    const frames = instants({ until: 600, late: (i) => (i === 4 ? 180 : 0) });
    expect(frames.slice(3, 8)).toEqual([75, 280, 305, 330, 355]);
  });

  it('never goes faster than 44 frames a second, whatever rate is asked for', () => {
    for (const gap of gaps(instants({ until: 1000, rate: 1000 }))) expect(gap).toBeGreaterThanOrEqual(SHORTEST - ROUNDING);
  });

  it('never sends two frames nearer than that, however commands come and however badly the thread is woken', () => {
    const millis = fc.double({ min: 0, max: 2000, noNaN: true });
    const night = fc.record({
      commands: fc.array(millis, { maxLength: 120 }),
      lateness: fc.array(fc.oneof(fc.constant(0), fc.double({ min: 0, max: 40, noNaN: true })), { minLength: 1, maxLength: 20 }),
      sending: fc.array(fc.boolean(), { minLength: 1, maxLength: 9 }),
      rate: fc.oneof(fc.constantFrom(30, 40, 44), fc.double({ min: 1, max: 60, noNaN: true })),
    });
    fc.assert(
      fc.property(night, ({ commands, lateness, sending, rate }) => {
        const frames = run({
          until: 2000,
          commands,
          late: (i) => lateness[i % lateness.length] ?? 0,
          sends: (i) => sending[i % sending.length] ?? true,
          rate,
        });
        const sent = frames.filter(({ sent: went }) => went).map(({ at }) => at);
        for (const gap of gaps(sent)) expect(gap).toBeGreaterThanOrEqual(SHORTEST - ROUNDING);
      }),
    );
  });

  it('leaves no command waiting longer than the limit of 44 asks', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 2000 }), { minLength: 1, maxLength: 60 }), (commands) => {
        const frames = instants({ until: 2100, commands });
        for (const command of commands) {
          const answer = frames.find((at) => at >= command) ?? Number.POSITIVE_INFINITY;
          expect(answer - command).toBeLessThanOrEqual(SHORTEST + ROUNDING);
        }
      }),
    );
  });
});

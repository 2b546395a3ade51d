import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Pace } from '../../node/outputs/pacing.ts';

/** E1.31-2018 section 6.6.2, which Art-Net 4 recommends as well: three repeats, then a keep-alive every 800 to 1000 ms. */
const REPEATS = 3;
const SOONEST = 800;
const LATEST = 1000;

interface Frame {
  readonly at: number;
  readonly changed: boolean;
  readonly sent: boolean;
}

/** Runs a pace over frames whose periods and changes are given, as a list of what it decided. */
function run(frames: readonly { readonly step: number; readonly change: boolean }[]): Frame[] {
  const pace = new Pace();
  const slots = new Uint8Array(512);
  let now = 1_000_000;
  return frames.map(({ step, change }, i) => {
    now += step;
    if (change) slots[i % 512] = ((slots[i % 512] ?? 0) + 1) & 0xff;
    return { at: now, changed: change || i === 0, sent: pace.due(slots, now) };
  });
}

function checkRule(frames: readonly Frame[]): void {
  let sinceChange = 0;
  let lastSentAt = Number.NaN;
  for (const [i, { at, changed, sent }] of frames.entries()) {
    sinceChange = changed ? 0 : sinceChange + 1;
    if (sinceChange <= REPEATS) {
      if (!sent) expect.fail(`frame ${i}: a change or one of its repeats was not sent`);
    } else if (sent && at - lastSentAt < SOONEST) expect.fail(`frame ${i}: a keep-alive after ${at - lastSentAt} ms`);
    if (at - lastSentAt > LATEST) expect.fail(`frame ${i}: ${at - lastSentAt} ms of silence`);
    if (sent) lastSentAt = at;
  }
}

describe('the pace of a universe', () => {
  it('a change, three repeats, then silence but for keep-alives', () => {
    const frames = run(Array.from({ length: 80 }, (_, i) => ({ step: 25, change: i === 40 })));
    const sent = frames.flatMap(({ sent: due }, i) => (due ? [i] : []));
    expect(sent.slice(0, 4)).toEqual([0, 1, 2, 3]);
    expect(sent.filter((i) => i >= 4 && i < 40)).toHaveLength(1);
    expect(sent.filter((i) => i >= 40).slice(0, 4)).toEqual([40, 41, 42, 43]);
  });

  it('a change that falls into the repeats of another has three repeats of its own', () => {
    const frames = run(Array.from({ length: 12 }, (_, i) => ({ step: 25, change: i === 2 })));
    expect(frames.map(({ sent }) => sent)).toEqual([...Array(6).fill(true), ...Array(6).fill(false)]);
  });

  // Frame periods as measured on a loaded two-core machine (mean 24.4 ms, worst 27) and far worse: up to 150 ms late.
  it('keeps the rule over simulated minutes, whatever the jitter and the changes', () => {
    const step = fc.oneof(
      { weight: 9, arbitrary: fc.integer({ min: 20, max: 30 }) },
      { weight: 1, arbitrary: fc.integer({ min: 31, max: 150 }) },
    );
    const change = fc.oneof({ weight: 200, arbitrary: fc.constant(false) }, { weight: 1, arbitrary: fc.constant(true) });
    const minutes = fc.array(fc.record({ step, change }), { minLength: 5000, maxLength: 5000, size: 'max' });
    fc.assert(
      fc.property(minutes, (frames) => checkRule(run(frames))),
      { numRuns: 8 },
    );
  });

  it('sees a change in any slot', () => {
    for (let slot = 0; slot < 512; slot++) {
      const pace = new Pace();
      const slots = new Uint8Array(512);
      for (let frame = 0; frame < 4; frame++) pace.due(slots, frame * 25);
      expect(pace.due(slots, 100)).toBe(false);
      slots[slot] = 1;
      expect(pace.due(slots, 125)).toBe(true);
    }
  });

  it('tells everything again after an outage, as after a change', () => {
    const pace = new Pace();
    const slots = new Uint8Array(512).fill(9);
    for (let frame = 0; frame < 10; frame++) pace.due(slots, frame * 25);
    pace.restart();
    expect(Array.from({ length: 6 }, (_, i) => pace.due(slots, 250 + i * 25))).toEqual([true, true, true, true, false, false]);
  });
});

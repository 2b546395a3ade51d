import { Worker } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import { systemClock, wallOver } from '../../node/system/clock.ts';

/** A wall clock whose machine somebody sets. */
function clocks() {
  const at = { now: 1000, machine: 50_000 };
  const wall = wallOver(
    () => at.now,
    () => at.machine,
  );
  const pass = (millis: number): number => {
    at.now += millis;
    at.machine += millis;
    return wall();
  };
  return { at, wall, pass };
}

describe('the wall clock', () => {
  it('goes with the machine’s', () => {
    const { wall, pass } = clocks();
    expect(wall()).toBe(50_000);
    expect(pass(2500)).toBe(52_500);
  });

  it('steps at once where the machine’s steps far: a board that learns the year from the network', () => {
    const { at, pass } = clocks();
    at.machine += 1e12;
    expect(pass(10)).toBe(at.machine);
    at.machine -= 3600_000;
    expect(pass(10)).toBe(at.machine);
  });

  it('makes up for half a second little by little, and never goes back meanwhile', () => {
    for (const off of [400, -400]) {
      const { at, pass } = clocks();
      at.machine += off;
      let last = 50_000;
      for (let i = 0; i < 1000; i++) {
        const next = pass(10);
        expect(next - last).toBeGreaterThanOrEqual(9.5 - 1e-9);
        expect(next - last).toBeLessThanOrEqual(10.5 + 1e-9);
        last = next;
      }
      expect(last).toBeCloseTo(at.machine, 6);
    }
  });
});

describe('the clock that plays', () => {
  it('is the same in every thread, however much later a thread was started', async () => {
    const text = `
      const { parentPort } = require('node:worker_threads');
      parentPort.on('message', async (path) => { const { systemClock } = await import(path); parentPort.postMessage(systemClock.now()); });`;
    const worker = new Worker(text, { eval: true });
    const path = new URL('../../dist/node/system/clock.js', import.meta.url).href;
    const ask = (): Promise<number> =>
      new Promise((resolve) => {
        worker.once('message', resolve);
        worker.postMessage(path);
      });
    await ask();
    const before = systemClock.now();
    const there = await ask();
    // A tenth of a millisecond is what two looks at a clock may differ by.
    expect(there).toBeGreaterThanOrEqual(before - 0.1);
    expect(there).toBeLessThanOrEqual(systemClock.now() + 0.1);
    await worker.terminate();
  });
});

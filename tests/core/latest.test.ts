import { readFileSync } from 'node:fs';
import { setImmediate } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { transformWithEsbuild } from 'vite';
import { describe, expect, it } from 'vitest';
import { Latest } from '../../node/core/latest.ts';
import { Levels } from '../../node/core/levels.ts';

/** A thread that publishes rows whose numbers are all alike, one after the other; slowly if it is asked to. */
async function writer(memory: SharedArrayBuffer, length: number, slow: boolean): Promise<Worker> {
  const path = fileURLToPath(new URL('../../node/core/latest.ts', import.meta.url));
  const { code } = await transformWithEsbuild(readFileSync(path, 'utf8'), path);
  const publishing = `${code}
    import { workerData } from 'node:worker_threads';
    const { memory, length, slow } = workerData;
    const latest = new Latest(Uint8Array, length, memory);
    const row = new Uint8Array(length);
    for (;;) {
      const value = (row[0] + 1) & 255;
      for (let i = 0; i < length; i++) {
        row[i] = value;
        if (slow) for (let wait = 0; wait < 50; wait++) Math.hypot(wait, i);
      }
      latest.publish(row);
    }`;
  return new Worker(new URL(`data:text/javascript,${encodeURIComponent(publishing)}`), { workerData: { memory, length, slow } });
}

describe.each([
  { slow: false, what: 'as fast as it can' },
  { slow: true, what: 'slowly' },
])('rows that another thread publishes $what', ({ slow }) => {
  it('are copied out whole, every time', { timeout: 60_000 }, async () => {
    const length = 4096;
    const latest = new Latest(Uint8Array, length);
    const worker = await writer(latest.memory, length, slow);
    let error: unknown;
    worker.on('error', (one) => {
      error = one;
    });
    const row = new Uint8Array(length);
    let [torn, whole] = [0, 0];
    const seen = new Set<number>();
    try {
      for (let i = 0; (whole + torn < 20_000 || seen.size < 20) && error === undefined; i++) {
        if (i % 1000 === 0) await setImmediate();
        latest.copy(row);
        if (row.every((value) => value === row[0])) whole++;
        else torn++;
        seen.add(latest.count());
      }
    } finally {
      await worker.terminate();
    }
    expect(error).toBeUndefined();
    expect(torn).toBe(0);
  });
});

describe('the latest row', () => {
  it('is what was published last, not what is being worked on', () => {
    const levels = new Levels([3, 7]);
    levels.slots(7)[511] = 9;
    expect(levels.snapshot(7)[511]).toBe(0);
    levels.publish();
    levels.slots(7)[511] = 10;
    expect([levels.snapshot(7)[511], levels.snapshot(3)[511], levels.frames()]).toEqual([9, 0, 1]);
  });

  it('is seen by whoever shares the memory, a part of it if that is asked for', () => {
    const latest = new Latest(Float64Array, 3);
    const other = new Latest(Float64Array, 3, latest.memory);
    latest.publish(Float64Array.of(0.1, 0.2, 0.3));
    latest.publish(Float64Array.of(0.4, 0.5, 0.6));
    const part = new Float64Array(2);
    other.copy(part, 1);
    expect([...part]).toEqual([0.5, 0.6]);
    expect(other.count()).toBe(2);
  });
});

import { readFileSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import { expect, it } from 'vitest';
import { runInRealTime } from '../../node/system/priority.ts';
import { isRoot } from '../helpers/namespace.ts';

/** Linux: SCHED_OTHER and SCHED_RR as sched(7) numbers them; SCHED_RESET_ON_FORK is not among the field's bits. Field 41 of proc_pid_stat(5) is the policy, 40 the priority. */
const [OTHER, ROUND_ROBIN] = [0, 2];
const scheduled = (thread: number): { priority: number; policy: number } => {
  const fields = readFileSync(`/proc/self/task/${thread}/stat`, 'utf8')
    .replace(/^.*\) /, '')
    .trim()
    .split(' ')
    .map(Number);
  // What is left begins with field 3.
  return { priority: fields[40 - 3] ?? Number.NaN, policy: fields[41 - 3] ?? Number.NaN };
};

it.runIf(isRoot)('real time is for the one thread that is named, where the system permits it', async () => {
  const worker = new Worker(
    `const { parentPort } = require('node:worker_threads');
     parentPort.postMessage(Number(require('node:fs').readlinkSync('/proc/thread-self').split('/').at(-1)));
     parentPort.on('message', () => undefined);`,
    { eval: true },
  );
  try {
    const thread = await new Promise<number>((resolve) => worker.once('message', resolve));
    expect(scheduled(thread).policy).toBe(OTHER);
    expect(await runInRealTime(thread)).toBe(true);
    expect(scheduled(thread)).toEqual({ priority: 1, policy: ROUND_ROBIN });
    expect(scheduled(process.pid).policy).toBe(OTHER);
  } finally {
    await worker.terminate();
  }
});

it('real time that the system does not give is told, and nothing else comes of it', async () => {
  // No thread has this number: pid_max of Linux is 2^22 at most.
  expect(await runInRealTime(2 ** 22 + 1)).toBe(false);
});

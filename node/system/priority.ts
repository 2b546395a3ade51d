import { execFile } from 'node:child_process';
import { readlinkSync } from 'node:fs';
import { constants, setPriority } from 'node:os';
import { basename } from 'node:path';

/** The lowest real-time priority: before everything that is not real time, behind what the system itself runs so. */
const REAL_TIME = '1';

/**
 * Lets the calling thread go before the others of this machine, so that frames come on time beside a busy main thread and whatever else
 * runs. On Linux priority belongs to the thread. Where the system does not permit it (it does to root, and with LimitNICE= in the unit)
 * nothing changes.
 */
export function goFirst(): void {
  try {
    setPriority(constants.priority.PRIORITY_HIGH);
  } catch {
    // Then this thread waits for its turn like the others.
  }
}

/** The system's number of the calling thread; undefined where it has no /proc. */
export function threadId(): number | undefined {
  try {
    return Number(basename(readlinkSync('/proc/thread-self')));
  } catch {
    return undefined;
  }
}

/**
 * Puts one thread of this process under SCHED_RR, and nothing that it starts. Node.js cannot, so chrt of util-linux does it, once, in a process
 * of its own. It needs LimitRTPRIO= in the unit, or root; where the system does not permit it nothing changes.
 * @returns whether it is so now.
 */
export function runInRealTime(thread: number): Promise<boolean> {
  return new Promise((resolve) => {
    execFile('chrt', ['--rr', '--reset-on-fork', '--pid', REAL_TIME, String(thread)], (error) => resolve(error === null));
  });
}

import { constants, setPriority } from 'node:os';

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

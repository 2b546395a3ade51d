import { parentPort, workerData } from 'node:worker_threads';
import { InputError } from '../core/errors.ts';
import { openDatabase, UnusableStore } from './database.ts';
import type { Answered, Asked, Work } from './work.ts';
import { workOf } from './work.ts';

/** The store's worker: it alone waits for the disk. */
const port = parentPort;
if (port === null) throw new Error('the store runs as a worker thread only');
const { folder } = workerData as { readonly folder: string };
let work: Work | undefined;

/** A store that cannot be opened now may be opened later: each thing asked for tries again. */
async function carryOut({ id, name, args }: Asked): Promise<Answered> {
  try {
    work ??= workOf(openDatabase(folder), folder);
    const result: unknown = await (work[name] as (...args: unknown[]) => unknown)(...args);
    return { id, result };
  } catch (thrown) {
    // To whoever asks a running node a store that does not open is the disk's fault and nobody's input.
    const error = thrown instanceof UnusableStore ? thrown.reason : thrown;
    const { message, code } = error as { message?: string; code?: unknown };
    return {
      id,
      error: {
        name: error instanceof InputError ? 'InputError' : 'Error',
        message: message ?? String(error),
        ...(typeof code === 'string' ? { code } : {}),
        ...(error instanceof InputError ? { problems: error.problems } : {}),
      },
    };
  }
}

let last: Promise<void> = Promise.resolve();
port.on('message', (asked: Asked) => {
  last = last.then(async () => port.postMessage(await carryOut(asked)));
});

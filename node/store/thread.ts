import { parentPort, workerData } from 'node:worker_threads';
import { Keeper } from './keeper.ts';
import type { Answered, Asked, StoreGiven } from './work.ts';

/** The store's worker: it alone waits for the disk. */
const port = parentPort;
if (port === null) throw new Error('the store runs as a worker thread only');
const tell = (answered: Answered): void => port.postMessage(answered);
const keeper = new Keeper(workerData as StoreGiven, (said) => tell({ said }));
// A copy takes its time and lets what else is asked for pass.
port.on('message', async (asked: Asked) => tell(await keeper.answer(asked)));

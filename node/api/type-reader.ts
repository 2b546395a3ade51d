import { Worker } from 'node:worker_threads';
import { InputError, type Problem } from '../core/errors.ts';
import type { Millis } from '../core/units.ts';
import type { SlotImage } from '../rig/gdtf/images.ts';
import type { ImportedType } from './local-contract.ts';

/** Honest files take less than a second and some tens of megabytes, on a small machine as well. */
const WITHIN: Millis = 10_000;
const MEGABYTES = 256;
const YOUNG_MEGABYTES = 32;
/** Files that are read or wait for it: whoever sends more at a time is no person. */
const MOST_IN_HAND = 4;

/** A type that was read: as JSON, which goes from thread to thread in one piece, and what to tell of it. */
export interface ReadType {
  readonly json: string;
  readonly row: ImportedType;
  readonly images: readonly SlotImage[];
}

/** What the thread says before it ends. */
export type ReadAnswer =
  | ReadType
  | { readonly refused: string; readonly problems: readonly Problem[] }
  | { readonly broke: string };

/** Starts the thread that reads these bytes, with so many megabytes to fill. */
export type StartReading = (bytes: Uint8Array, megabytes: number) => Worker;

const readingThread: StartReading = (bytes, megabytes) =>
  new Worker(new URL('./type-reader-thread.js', import.meta.url), {
    workerData: bytes,
    resourceLimits: { maxOldGenerationSizeMb: megabytes, maxYoungGenerationSizeMb: YOUNG_MEGABYTES },
  });

/**
 * Reads GDTF files in a thread that is ended when a file takes too long or too much memory: whoever makes such a file costs himself an
 * answer, and nobody a held button. One after the other, so that several do not fill the memory together.
 */
export class TypeReader {
  readonly #start: StartReading;
  readonly #within: Millis;
  #inHand = 0;
  #last: Promise<unknown> = Promise.resolve();

  constructor(start = readingThread, within = WITHIN) {
    this.#start = start;
    this.#within = within;
  }

  /** @throws (rejects with) InputError for a file that cannot be read, or that goes beyond a limit. */
  async read(bytes: Uint8Array): Promise<ReadType> {
    if (this.#inHand >= MOST_IN_HAND)
      throw new InputError(`${MOST_IN_HAND} files are being read already; send this one again when they are done`);
    this.#inHand++;
    const read = this.#last.then(() => answerOf(this.#start(bytes, MEGABYTES), this.#within));
    this.#last = read.catch(() => undefined);
    try {
      return readIn(await read);
    } finally {
      this.#inHand--;
    }
  }
}

function readIn(answer: ReadAnswer): ReadType {
  if ('json' in answer) return answer;
  if ('refused' in answer) throw new InputError(answer.refused, answer.problems);
  throw new Error(answer.broke);
}

/** The next one begins when the thread is gone with all its memory. */
function answerOf(worker: Worker, within: Millis): Promise<ReadAnswer> {
  return new Promise((resolve, reject) => {
    let answer: ReadAnswer | Error = new Error('the thread that reads fixture types ended without an answer');
    const late = setTimeout(() => {
      answer = new InputError(
        `Reading this file takes more than ${within / 1000} seconds, more than any honest one; it is given up`,
      );
      void worker.terminate();
    }, within);
    worker.on('message', (message: ReadAnswer) => {
      answer = message;
    });
    worker.on('error', (error: NodeJS.ErrnoException) => {
      const isFull = error.code === 'ERR_WORKER_OUT_OF_MEMORY';
      answer = isFull
        ? new InputError(`Reading this file takes more than ${MEGABYTES} MB of memory, more than any honest one; it is given up`)
        : error;
    });
    worker.on('exit', () => {
      clearTimeout(late);
      if (answer instanceof Error) reject(answer);
      else resolve(answer);
    });
  });
}

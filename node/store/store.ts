import { Worker } from 'node:worker_threads';
import { InputError, type Problem } from '../core/errors.ts';
import type { Millis } from '../core/units.ts';
import type { JournalRow } from './journal.ts';
import type { Answered, Asked, Work } from './work.ts';

/** A worker that died is started again after this. */
const AGAIN: Millis = 2000;
/** How long the last things may take when the node stops. */
const STOP_WITHIN: Millis = 3000;

type Result<Name extends keyof Work> = Awaited<ReturnType<Work[Name]>>;

interface Waiting {
  readonly resolve: (result: unknown) => void;
  readonly reject: (error: Error) => void;
}

/**
 * The main thread's hand on the store. Everything that touches the disk is asked of a thread of its own and promised; nobody here waits for
 * it. A disk that refuses rejects the promise with the system's code.
 */
export class Store {
  readonly #folder: string;
  readonly #log: (line: string) => void;
  #worker: Worker | undefined;
  #timer: NodeJS.Timeout | undefined;
  #stopping = false;
  #next = 0;
  readonly #waiting = new Map<number, Waiting>();
  /** What plays, on its way to the disk, and the newest that waits behind it. */
  #writing: Promise<void> | undefined;
  #newest: { readonly row: JournalRow; readonly done: Promise<void>; readonly settle: Waiting } | undefined;

  constructor(folder: string, log: (line: string) => void) {
    this.#folder = folder;
    this.#log = log;
  }

  start(): void {
    const worker = new Worker(new URL('./thread.js', import.meta.url), { workerData: { folder: this.#folder } });
    this.#worker = worker;
    worker.on('message', (answered: Answered) => this.#answer(answered));
    worker.on('error', (error) =>
      this.#log(`The store has died (${error instanceof Error ? error.message : String(error)}) and is started again.`),
    );
    worker.on('exit', () => this.#ended(worker));
  }

  /** @throws (rejects with) InputError, or an error with the code of the disk that refuses. */
  ask<Name extends keyof Work>(name: Name, ...args: Parameters<Work[Name]>): Promise<Result<Name>> {
    const id = ++this.#next;
    return new Promise<Result<Name>>((resolve, reject) => {
      if (this.#worker === undefined) {
        reject(away());
        return;
      }
      this.#waiting.set(id, { resolve: resolve as (result: unknown) => void, reject });
      this.#worker.postMessage({ id, name, args } as unknown as Asked);
    });
  }

  /** Writes down what plays. While the disk is busy only the newest waits: a row holds all that plays, so those before it need not be written. */
  keepState(row: JournalRow): Promise<void> {
    if (this.#writing === undefined) {
      const writing = this.ask('keepState', row);
      this.#writing = writing.finally(() => this.#nextState()).catch(() => undefined);
      return writing;
    }
    if (this.#newest !== undefined) {
      this.#newest = { ...this.#newest, row };
      return this.#newest.done;
    }
    let settle: Waiting = { resolve: () => undefined, reject: () => undefined };
    const done = new Promise<void>((resolve, reject) => {
      settle = { resolve: () => resolve(), reject };
    });
    this.#newest = { row, done, settle };
    return done;
  }

  /** Resolves when all that was asked for is done, or has had time enough. */
  async stop(): Promise<void> {
    this.#stopping = true;
    clearTimeout(this.#timer);
    const until = Date.now() + STOP_WITHIN;
    while ((this.#waiting.size > 0 || this.#newest !== undefined) && Date.now() < until)
      await new Promise((resolve) => setTimeout(resolve, 5));
    await this.#worker?.terminate();
  }

  #nextState(): void {
    this.#writing = undefined;
    const newest = this.#newest;
    this.#newest = undefined;
    if (newest !== undefined) this.keepState(newest.row).then(newest.settle.resolve, newest.settle.reject);
  }

  #answer(answered: Answered): void {
    const waiting = this.#waiting.get(answered.id);
    this.#waiting.delete(answered.id);
    if ('result' in answered) waiting?.resolve(answered.result);
    else waiting?.reject(errorOf(answered.error));
  }

  /** Whoever waits learns that it did not work; the next will find a new thread. */
  #ended(worker: Worker): void {
    if (this.#worker === worker) this.#worker = undefined;
    for (const { reject } of this.#waiting.values()) reject(away());
    this.#waiting.clear();
    if (!this.#stopping) this.#timer = setTimeout(() => this.start(), AGAIN);
  }
}

const away = (): Error => Object.assign(new Error('the store does not answer'), { code: 'EIO' });

function errorOf({ name, message, code, problems }: Extract<Answered, { error: object }>['error']): Error {
  const error = name === 'InputError' ? new InputError(message, problems as readonly Problem[]) : new Error(message);
  return Object.assign(error, code === undefined ? {} : { code });
}

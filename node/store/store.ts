import type { EventEmitter } from 'node:events';
import { Worker } from 'node:worker_threads';
import { InputError, type Problem } from '../core/errors.ts';
import type { Log } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';
import type { JournalRow } from './journal.ts';
import type { Answered, Asked, StoreGiven, Work } from './work.ts';

/** A worker that died is started again after this. */
const AGAIN: Millis = 2000;
/** How long the last things may take when the node stops. */
const STOP_WITHIN: Millis = 3000;

type Result<Name extends keyof Work> = Awaited<ReturnType<Work[Name]>>;

interface Waiting {
  readonly resolve: (result: unknown) => void;
  readonly reject: (error: Error) => void;
}

/** The thread as it is seen from here. */
export type StoreThread = Pick<EventEmitter, 'on'> & Pick<Worker, 'postMessage' | 'terminate'>;

const startThread = (given: StoreGiven): StoreThread => new Worker(new URL('./thread.js', import.meta.url), { workerData: given });

/**
 * The main thread's hand on the store. Everything that touches the disk is asked of a thread of its own and promised; nobody here waits for
 * it. A disk that refuses rejects the promise with the system's code.
 */
export class Store {
  #given: StoreGiven;
  readonly #log: Log;
  /** It was found to be damaged while it was in use, and mended, as the line says. */
  onMended: (line: string) => void = () => undefined;
  readonly #startThread: (given: StoreGiven) => StoreThread;
  #thread: StoreThread | undefined;
  #timer: NodeJS.Timeout | undefined;
  /** Set when the node stops: called when nothing is on its way any more. */
  #idle: (() => void) | undefined;
  #next = 0;
  readonly #waiting = new Map<number, Waiting>();
  /** Whether what plays is on its way to the disk, and the newest that waits behind it. */
  #isWriting = false;
  #newest: { row: JournalRow; readonly done: Promise<number>; readonly settle: Waiting } | undefined;

  constructor(given: StoreGiven, log: Log, start = startThread) {
    this.#given = given;
    this.#log = log;
    this.#startThread = start;
  }

  start(): void {
    const thread = this.#startThread(this.#given);
    this.#thread = thread;
    thread.on('message', (answered: Answered) => this.#answer(answered));
    thread.on('error', (error) =>
      this.#log.once(
        'store',
        `The store has died (${error instanceof Error ? error.message : String(error)}) and is started again.`,
      ),
    );
    thread.on('exit', () => this.#ended());
  }

  /** @throws (rejects with) InputError, or an error with the code of the disk that refuses. */
  ask<Name extends keyof Work>(name: Name, ...args: Parameters<Work[Name]>): Promise<Result<Name>> {
    const id = ++this.#next;
    return new Promise<Result<Name>>((resolve, reject) => {
      if (this.#thread === undefined) {
        reject(away());
        return;
      }
      this.#waiting.set(id, { resolve: resolve as (result: unknown) => void, reject });
      this.#thread.postMessage({ id, name, args } as unknown as Asked);
    });
  }

  /**
   * Writes down what plays. While the disk is busy only the newest waits: a row holds all that plays, so those before it need not be written.
   * @returns the number of the row that was written
   */
  keepState(row: JournalRow): Promise<number> {
    if (this.#isWriting) {
      this.#newest ??= { row, ...promised() };
      this.#newest.row = row;
      return this.#newest.done;
    }
    this.#isWriting = true;
    return this.ask('keepState', row).finally(() => {
      this.#isWriting = false;
      const newest = this.#newest;
      this.#newest = undefined;
      if (newest !== undefined) this.keepState(newest.row).then(newest.settle.resolve, newest.settle.reject);
    });
  }

  /** Resolves when all that was asked for is done, or has had time enough. */
  async stop(): Promise<void> {
    clearTimeout(this.#timer);
    await new Promise<void>((resolve) => {
      this.#idle = resolve;
      this.#timer = setTimeout(resolve, STOP_WITHIN);
      this.#tellIdle();
    });
    clearTimeout(this.#timer);
    await this.#thread?.terminate();
  }

  #answer(answered: Answered): void {
    if ('said' in answered) {
      // It speaks when it has mended.
      this.#log(answered.said);
      if (!this.#given.isDamaged) this.onMended(answered.said);
      this.#given = { ...this.#given, isDamaged: false };
      return;
    }
    const waiting = this.#waiting.get(answered.id);
    this.#waiting.delete(answered.id);
    if ('result' in answered) waiting?.resolve(answered.result);
    else waiting?.reject(errorOf(answered.error));
    this.#tellIdle();
  }

  /** Whoever waits learns that it did not work; the next will find a new thread. */
  #ended(): void {
    this.#thread = undefined;
    for (const { reject } of this.#waiting.values()) reject(away());
    this.#waiting.clear();
    this.#tellIdle();
    if (this.#idle === undefined) this.#timer = setTimeout(() => this.start(), AGAIN);
  }

  #tellIdle(): void {
    if (this.#waiting.size === 0 && this.#newest === undefined) this.#idle?.();
  }
}

function promised(): { readonly done: Promise<number>; readonly settle: Waiting } {
  let settle: Waiting = { resolve: () => undefined, reject: () => undefined };
  const done = new Promise<number>((resolve, reject) => {
    settle = { resolve: resolve as Waiting['resolve'], reject };
  });
  return { done, settle };
}

const away = (): Error => Object.assign(new Error('the store does not answer'), { code: 'EIO' });

function errorOf({ name, message, code, problems }: Extract<Answered, { error: object }>['error']): Error {
  const error = name === 'InputError' ? new InputError(message, problems as readonly Problem[]) : new Error(message);
  return Object.assign(error, code === undefined ? {} : { code });
}

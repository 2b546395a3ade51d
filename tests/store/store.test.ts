import { EventEmitter } from 'node:events';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { InputError } from '../../node/core/errors.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState } from '../../node/playback/reduce.ts';
import { JournalTable } from '../../node/store/journal.ts';
import { Keeper } from '../../node/store/keeper.ts';
import { Store, type StoreThread } from '../../node/store/store.ts';
import type { Asked, StoreGiven } from '../../node/store/work.ts';
import { recordedLog } from '../helpers/recorded-log.ts';
import { tinyShow } from '../helpers/tiny-show.ts';
import { newFolder, open } from './new-folder.ts';

const AT = Date.UTC(2030, 5, 15);
const show = tinyShow({});
const row = (revision: number, bpm: number) => {
  const state = freshState(compileShow(show), 0);
  return { at: 0, wall: AT, revision, who: 'a test', command: null, state: { ...state, tempo: { ...state.tempo, bpm } } };
};

/** Stands where the worker would, with the same keeper of the same store; it works when the test lets it. */
class SlowThread extends EventEmitter implements StoreThread {
  readonly asked: Asked[] = [];
  readonly #keeper: Keeper;

  constructor(given: StoreGiven) {
    super();
    this.#keeper = new Keeper(given, (said) => this.emit('message', { said }));
    onTestFinished(() => this.#keeper.close());
  }

  postMessage(asked: Asked): void {
    this.asked.push(structuredClone(asked));
  }

  /** Does the next thing that was asked. */
  async work(): Promise<void> {
    const asked = this.asked.shift();
    if (asked === undefined) throw new Error('The thread was asked for nothing');
    this.emit('message', structuredClone(await this.#keeper.answer(asked)));
    await new Promise((done) => setImmediate(done));
  }

  async terminate(): Promise<number> {
    this.emit('exit', 0);
    return 0;
  }

  die(): void {
    this.emit('error', new Error('out of memory'));
    this.emit('exit', 1);
  }
}

function begin(folder = newFolder()) {
  const threads: SlowThread[] = [];
  const log = recordedLog();
  const store = new Store({ folder, isDamaged: false }, log, (given) => {
    const thread = new SlowThread(given);
    threads.push(thread);
    return thread;
  });
  store.start();
  return { folder, store, log, thread: () => threads.at(-1) as SlowThread, threads };
}

/** What has come of promises by now. */
const watch = (...promises: Promise<unknown>[]): string[] => {
  const done = promises.map(() => 'waits');
  for (const [i, promise] of promises.entries())
    promise.then(
      () => (done[i] = 'kept'),
      (error: Error) => (done[i] = error.message),
    );
  return done;
};

describe('what plays', () => {
  it('builds no queue before a slow disk: the newest waits, and all are answered when it is safe', async () => {
    const { folder, store, thread } = begin();
    const keeping = store.ask('keepShow', show, 'a test', AT);
    await thread().work();
    const { revision } = await keeping;
    const done = watch(...[100, 101, 102, 103, 104].map((bpm) => store.keepState(row(revision, bpm))));
    expect(thread().asked).toHaveLength(1);
    await thread().work();
    expect(done).toEqual(['kept', 'waits', 'waits', 'waits', 'waits']);
    expect(thread().asked).toHaveLength(1);
    await thread().work();
    expect(done).toEqual(['kept', 'kept', 'kept', 'kept', 'kept']);
    expect(thread().asked).toEqual([]);
    const db = open(folder);
    expect(db.prepare('SELECT count(*) AS rows FROM journal').get()).toEqual({ rows: 2 });
    expect(new JournalTable(db).last()?.wasOn?.state.tempo.bpm).toBe(104);
  });

  it('that the disk refuses is told to all who wait for it, and the next is tried anew', async () => {
    const { store, thread } = begin();
    // No such revision: whatever the reason, the row is not kept.
    const done = watch(store.keepState(row(77, 100)), store.keepState(row(77, 101)), store.keepState(row(77, 102)));
    await thread().work();
    await thread().work();
    expect(done).toEqual(['FOREIGN KEY constraint failed', 'FOREIGN KEY constraint failed', 'FOREIGN KEY constraint failed']);
    const keeping = store.ask('keepShow', show, 'a test', AT);
    await thread().work();
    const again = watch(store.keepState(row((await keeping).revision, 103)));
    await thread().work();
    expect(again).toEqual(['kept']);
  });
});

describe('the store', () => {
  it('tells whoever asked wrongly from a disk that refuses', async () => {
    const { folder, store, thread } = begin();
    const id = (await Promise.all([store.ask('keepShow', show, 'a test', AT), thread().work()]))[0].revision;
    open(folder).exec(`UPDATE revision SET document = '{"format":"duskhand-show","version":2}'`);
    const opening = store.ask('openShow', show.id);
    opening.catch(() => undefined);
    await thread().work();
    await expect(opening).rejects.toThrow(InputError);
    expect(id).toBe(1);
    open(folder).exec('DROP TABLE setting');
    const keeping = store.ask('keepSettings', { format: 'duskhand-settings', version: 1, outputs: [] });
    keeping.catch(() => undefined);
    await thread().work();
    await expect(keeping).rejects.not.toThrow(InputError);
    await expect(keeping).rejects.toMatchObject({ code: 'SQLITE_ERROR' });
  });

  it('that dies is started again; whoever waited learns of it, and what comes then is kept', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    onTestFinished(() => void vi.useRealTimers());
    const { store, log, thread, threads } = begin();
    const done = watch(store.ask('keepShow', show, 'a test', AT), store.keepState(row(1, 100)), store.keepState(row(1, 101)));
    thread().die();
    await new Promise((turn) => setImmediate(turn));
    expect(done).toEqual(['the store does not answer', 'the store does not answer', 'the store does not answer']);
    expect(log.lines).toEqual(['The store has died (out of memory) and is started again.']);
    await expect(store.ask('showIds')).rejects.toMatchObject({ code: 'EIO' });
    vi.advanceTimersByTime(2000);
    expect(threads).toHaveLength(2);
    const again = watch(store.ask('keepShow', show, 'a test', AT));
    await thread().work();
    expect(again).toEqual(['kept']);
  });

  it('that stops has done what it was asked, also what waited behind it', async () => {
    const { store, thread } = begin();
    const done = watch(store.ask('keepShow', show, 'a test', AT), store.keepState(row(1, 100)), store.keepState(row(1, 101)));
    const stopped = watch(store.stop());
    await thread().work();
    await thread().work();
    expect(stopped).toEqual(['waits']);
    await thread().work();
    expect(done).toEqual(['kept', 'kept', 'kept']);
    expect(stopped).toEqual(['kept']);
  });

  it('that stops waits for a dead disk no longer than three seconds', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    onTestFinished(() => void vi.useRealTimers());
    const { store } = begin();
    watch(store.ask('keepShow', show, 'a test', AT));
    const stopped = watch(store.stop());
    await vi.advanceTimersByTimeAsync(2999);
    expect(stopped).toEqual(['waits']);
    await vi.advanceTimersByTimeAsync(1);
    expect(stopped).toEqual(['kept']);
  });
});

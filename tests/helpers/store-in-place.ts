import type { Db } from '../../node/store/database.ts';
import { RemoteTable } from '../../node/store/remotes.ts';
import { RemotesAtHand } from '../../node/store/remotes-at-hand.ts';
import type { Store } from '../../node/store/store.ts';
import { workOf } from '../../node/store/work.ts';

/** The work of the store's thread, done on the spot by the same code. */
export function storeInPlace(db: Db, folder = ''): Pick<Store, 'ask'> {
  const work = workOf(db, folder);
  return {
    ask: (async (name: keyof typeof work, ...args: unknown[]) =>
      (work[name] as (...args: unknown[]) => unknown)(...args)) as unknown as Store['ask'],
  };
}

export const remotesIn = (db: Db): RemotesAtHand => new RemotesAtHand(storeInPlace(db), new RemoteTable(db).known());

import { existsSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import type { Db } from './database.ts';

/** Copies of the store, the newest first. */
export const copiesOf = (folder: string): string[] =>
  ['duskhand.copy-1.sqlite', 'duskhand.copy-2.sqlite'].map((name) => join(folder, name));

/** Makes a copy of a store that has just been opened and played from; the copy before it is kept. */
export async function keepCopy(db: Db, folder: string): Promise<void> {
  const [newest = '', older = ''] = copiesOf(folder);
  const coming = `${newest}.coming`;
  await db.backup(coming);
  if (existsSync(newest)) renameSync(newest, older);
  renameSync(coming, newest);
}

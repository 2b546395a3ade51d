import Database from 'better-sqlite3';
import { InputError } from '../core/errors.ts';
import { useFolder } from './folder.ts';

/** Another node has the folder: two of them would fight over the lights. */
export class FolderInUse extends InputError {
  constructor(folder: string) {
    super(`A node is running already with the data folder ${folder}`);
  }
}

/**
 * Holds a data folder for one node. The system lets go of it when the process ends, however it ends, so nothing stale stays behind.
 * @returns the function that lets go.
 * @throws InputError when another node has it, or it cannot be locked.
 */
export function lockFolder(folder: string): () => void {
  const file = useFolder(folder, 'lock.sqlite');
  let lock: Database.Database | undefined;
  try {
    lock = new Database(file, { timeout: 0 });
    lock.exec('BEGIN EXCLUSIVE');
    const held = lock;
    return () => held.close();
  } catch (error) {
    lock?.close();
    if (!(error instanceof Database.SqliteError)) throw error;
    if (error.code === 'SQLITE_BUSY') throw new FolderInUse(folder);
    throw new InputError(`${file} cannot be locked: ${error.message} (${error.code})`);
  }
}

/**
 * Holds the data folder, as far as its disk lets it.
 * @throws InputError when another node has it.
 */
export function holdFolder(folder: string): () => void {
  try {
    return lockFolder(folder);
  } catch (error) {
    if (error instanceof FolderInUse || !(error instanceof InputError)) throw error;
    return () => undefined;
  }
}

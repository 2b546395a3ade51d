import Database from 'better-sqlite3';
import { InputError } from '../core/errors.ts';
import { useFolder } from './folder.ts';

/**
 * Holds a data folder for one node. The system lets go of it when the process ends, however it ends, so nothing stale stays behind.
 * @returns the function that lets go.
 * @throws InputError when another node has it.
 */
export function lockFolder(folder: string): () => void {
  const lock = new Database(useFolder(folder, 'lock.sqlite'), { timeout: 0 });
  try {
    lock.exec('BEGIN EXCLUSIVE');
  } catch {
    lock.close();
    throw new InputError(`Another node is running with the data folder ${folder}`);
  }
  return () => lock.close();
}

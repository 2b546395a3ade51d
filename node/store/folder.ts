import { chmodSync, chownSync, closeSync, existsSync, mkdirSync, openSync, statSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { InputError } from '../core/errors.ts';

/** Bits of group and others. */
const NOT_THE_USER = 0o077;

/** A data folder that does not take what must be written. Whoever asked may have named another folder. */
export class UnusableFolder extends InputError {
  readonly reason: NodeJS.ErrnoException;
  constructor(folder: string, reason: NodeJS.ErrnoException) {
    super(`The data folder ${folder} cannot be used: ${reason.message}`);
    this.reason = reason;
  }
}

/**
 * The path of a file in a data folder. Both are made for their user alone where they do not exist yet, and closed to others where they were
 * open: tokens and names of phones lie there.
 * @throws UnusableFolder when they cannot be made or written.
 */
export function useFolder(folder: string, file: string): string {
  const path = join(folder, file);
  try {
    makeFolder(resolve(folder));
    const isNew = !existsSync(path);
    closeSync(openSync(path, 'a', 0o600));
    if (isNew) leaveToOwner(folder, path);
  } catch (error) {
    throw new UnusableFolder(folder, error as NodeJS.ErrnoException);
  }
  for (const one of [folder, path]) {
    try {
      if (isOpenToOthers(one)) chmodSync(one, statSync(one).mode & ~NOT_THE_USER & 0o777);
    } catch {
      // It belongs to somebody else. Whoever starts a node there is told.
    }
  }
  return path;
}

/** A file that root makes in the folder of a service belongs to that, as SQLite does it with the files beside a database. */
function leaveToOwner(folder: string, path: string): void {
  if (process.geteuid?.() !== 0) return;
  const { uid, gid } = statSync(folder);
  if (uid !== 0) chownSync(path, uid, gid);
}

/**
 * Makes a folder and those that it lies in. Node's own way of it never comes back where a file system takes no folders and calls that ENOENT,
 * as /proc and what an automounter keeps do.
 */
function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  makeFolder(dirname(folder));
  try {
    mkdirSync(folder, { mode: 0o700 });
  } catch (error) {
    // Somebody else was faster.
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  }
}

export const isOpenToOthers = (path: string): boolean => (statSync(path).mode & NOT_THE_USER) !== 0;

import { accessSync, chmodSync, constants, mkdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '../core/errors.ts';

/** Bits of group and others. */
const NOT_THE_USER = 0o077;

/**
 * The path of a file in a data folder, which is made for its user alone where it does not exist yet. Folder and file are closed to others
 * where they were open: tokens and names of phones lie there.
 * @throws InputError when the folder cannot be made or written.
 */
export function useFolder(folder: string, file: string): string {
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    accessSync(folder, constants.W_OK);
  } catch (error) {
    throw new InputError(`The data folder ${folder} cannot be used: ${error instanceof Error ? error.message : String(error)}`);
  }
  const path = join(folder, file);
  for (const one of [folder, path]) closeToOthers(one);
  return path;
}

/** What is not there yet, or belongs to somebody else, stays as it is. */
function closeToOthers(path: string): void {
  try {
    const { mode } = statSync(path);
    if ((mode & NOT_THE_USER) !== 0) chmodSync(path, mode & ~NOT_THE_USER & 0o777);
  } catch {
    // Then its owner has to.
  }
}

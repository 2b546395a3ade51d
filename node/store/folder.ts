import { accessSync, constants, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '../core/errors.ts';

/**
 * The path of a file in a data folder, which is made for its user alone where it does not exist yet.
 * @throws InputError when the folder cannot be made or written.
 */
export function useFolder(folder: string, file: string): string {
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    accessSync(folder, constants.W_OK);
  } catch (error) {
    throw new InputError(`The data folder ${folder} cannot be used: ${error instanceof Error ? error.message : String(error)}`);
  }
  return join(folder, file);
}

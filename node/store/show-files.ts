import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { InputError } from '../core/errors.ts';
import type { Millis } from '../core/units.ts';
import { carryTypes, type TypeLookup } from '../show/carry-types.ts';
import type { Show } from '../show/document.ts';
import { parseJson, readShow } from '../show/read.ts';
import { openDatabase } from './database.ts';
import { FactTable } from './facts.ts';
import { typesOf } from './fixture-files.ts';
import { lockFolder } from './lock.ts';
import { ShowTable, type StoredShow } from './shows.ts';

/**
 * What stands in a show file, with the imported types that it names.
 * @throws InputError when it cannot be read or is no JSON.
 */
export const showFileJson = (file: string | URL, types: TypeLookup): unknown => carryTypes(parseJson(readText(file)), types);

/** @throws InputError when it cannot be read. */
export function readText(file: string | URL): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw new InputError(`${file} cannot be read: ${error instanceof Error ? error.message : String(error)}`);
  }
}

/**
 * Into a file that is not there yet: nothing is ever written over.
 * @throws InputError when it is, or cannot be written.
 */
export function writeNewText(file: string, text: string): void {
  try {
    writeFileSync(file, text, { flag: 'wx' });
  } catch (error) {
    throw new InputError(`${file} cannot be written: ${error instanceof Error ? error.message : String(error)}`);
  }
}

/**
 * The show of a file that a node is started with. It is kept as a revision only where the file is another than at the start before: what
 * was edited since plays on. A store that refuses costs no light: the show plays unkept.
 * @throws InputError when the file cannot be read, or with the mistakes that it has.
 */
export function showOfFile(folder: string, file: string | URL, origin: string, now: Millis): StoredShow {
  const text = readText(file);
  const reading = readShow(carryTypes(parseJson(text), typesOf(folder)));
  try {
    const db = openDatabase(folder);
    try {
      const shows = new ShowTable(db);
      const facts = new FactTable(db);
      const key = `show-file ${origin}`;
      const hash = createHash('sha256').update(text).digest('hex');
      const current = shows.current(reading.show.id);
      if (facts.get(key) === hash && current !== undefined) return shows.read(current);
      const stored = shows.keep(reading.show, origin, now);
      facts.set(key, hash);
      return { ...reading, ...stored };
    } finally {
      db.close();
    }
  } catch {
    // Said already by whoever looked at the store before.
    return { ...reading, revision: 0 };
  }
}

/**
 * Keeps a show in the store of a folder that no node has open.
 * @throws InputError when one has: it would not know of it.
 */
export function keepShow(folder: string, show: Show, now: Millis): StoredShow {
  const unlock = lockFolder(folder);
  try {
    return withShows(folder, (shows) => shows.keep(show, 'import', now));
  } finally {
    unlock();
  }
}

/** Takes a show out of such a store; without an id, the one that was kept last. */
export function fetchShow(folder: string, id: string | undefined): Show {
  return withShows(folder, (shows) => {
    const number = id === undefined ? shows.revisions()[0] : shows.current(id);
    const stored = number === undefined ? undefined : shows.draft(number);
    if (stored !== undefined) return stored.show;
    throw new InputError(
      id === undefined ? 'The store holds no show yet' : `There is no show "${id}"; there is ${shows.ids().join(', ')}`,
    );
  });
}

function withShows<T>(folder: string, use: (shows: ShowTable) => T): T {
  const db = openDatabase(folder);
  try {
    return use(new ShowTable(db));
  } finally {
    db.close();
  }
}

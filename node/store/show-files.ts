import { readFileSync, writeFileSync } from 'node:fs';
import { InputError } from '../core/errors.ts';
import type { Millis } from '../core/units.ts';
import { carryTypes, type TypeLookup } from '../show/carry-types.ts';
import type { Show } from '../show/document.ts';
import { parseJson, type Reading, readShow } from '../show/read.ts';
import { openDatabase } from './database.ts';
import type { JournalTable } from './journal.ts';
import { lockFolder } from './lock.ts';
import { ShowTable, type StoredShow } from './shows.ts';

/**
 * What stands in a show file, with the imported types that it names.
 * @throws InputError when it cannot be read or is no JSON.
 */
export const showFileJson = (file: string | URL, types: TypeLookup): unknown => carryTypes(parseJson(readText(file)), types);

/** @throws InputError when it cannot be read, or with the mistakes that it has. */
const readShowFile = (file: string | URL, types: TypeLookup): Reading => readShow(showFileJson(file, types));

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

/** The show to play: that of `file`; else the one that played last; else the one that was kept last; else the demo. */
export function showToPlay(
  file: string | undefined,
  demo: URL,
  { shows, journal, types }: { readonly shows: ShowTable; readonly journal: JournalTable; readonly types: TypeLookup },
  now: Millis,
): StoredShow {
  if (file !== undefined) {
    const { show, ...besides } = readShowFile(file, types);
    return { ...shows.keep(show, file, now), ...besides };
  }
  const last = journal.last();
  const played = last === undefined ? undefined : shows.revision(last.revision)?.show.id;
  const stored = played === undefined ? shows.latest() : shows.open(played);
  return stored ?? shows.keep(readShowFile(demo, types).show, 'demo', now);
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
    const stored = id === undefined ? shows.latest() : shows.open(id);
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

import { createHash } from 'node:crypto';
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '../core/errors.ts';
import { systemWords } from '../core/system-words.ts';
import type { Millis } from '../core/units.ts';
import { carryTypes, type TypeLookup } from '../show/carry-types.ts';
import type { Show } from '../show/document.ts';
import { parseJson, type Reading, readShow } from '../show/read.ts';
import { type Db, openDatabase } from './database.ts';
import { FactTable } from './facts.ts';
import { lockFolder } from './lock.ts';
import { type BroughtShow, ShowTable, type StoredShow } from './shows.ts';

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
    throw new InputError(`${file} cannot be read: ${systemWords(error)}`);
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
    throw new InputError(`${file} cannot be written: ${systemWords(error)}`);
  }
}

/** A show file that a node is started with. */
export interface ShowFile {
  readonly origin: string;
  /** Stands for the file and what is in it: once it has been kept it is not new any more. */
  readonly key: string;
  readonly reading: Reading;
}

/** @throws InputError when it cannot be read, or with the mistakes that it has. */
export function readShowFile(file: string | URL, origin: string, types: TypeLookup): ShowFile {
  const text = readText(file);
  const hash = createHash('sha256').update(text).digest('hex');
  return { origin, key: `show-file ${origin} ${hash}`, reading: readShow(carryTypes(parseJson(text), types)) };
}

/** Names the show file that a node was first started with, until the store has its show. */
const FIRST_FILE = 'first-show-file';

/** Notes the show file that a new node begins with. A disk that refuses has nothing to tell the next start by either. */
export function noteFirstFile(folder: string, origin: string): void {
  try {
    writeFileSync(join(folder, FIRST_FILE), origin, { mode: 0o600 });
  } catch {
    // What plays cannot be written down either, and that is told.
  }
}

/** The store has its show: it must not play in the place of another that is lost later. */
export const forgetFirstFile = (folder: string): void => rmSync(join(folder, FIRST_FILE), { force: true });

export function firstFileIn(folder: string): string | undefined {
  const file = join(folder, FIRST_FILE);
  try {
    return existsSync(file) ? readFileSync(file, 'utf8') : undefined;
  } catch {
    return '';
  }
}

/** What is written down of a start, once the lights are on. */
export interface Start {
  readonly cid: string;
  /** The show file that it was started with. */
  readonly file?: Pick<ShowFile, 'origin' | 'key'>;
  /** What plays and what is edited, with the revisions that they had in the store; 0: they are not in it yet. */
  readonly shows?: readonly Pick<StoredShow, 'show' | 'revision'>[];
}

/** The file that the node was last started with, by its key. */
export const STARTED_WITH = 'started-with';

/** @returns the revisions of the shows, from now on at the latest: what is not in the store, or not any more, is kept. */
export function keepStart(db: Db, { cid, file, shows: playing = [] }: Start, now: Millis): number[] {
  const facts = new FactTable(db);
  const shows = new ShowTable(db);
  return db.transaction(() => {
    const revisions = playing.map(({ show, revision }) =>
      shows.showOf(revision) === show.id ? revision : shows.keep(show, file?.origin ?? 'start', now).revision,
    );
    // What plays is not in the bin, whatever the store was told before.
    const take = db.prepare('UPDATE show SET binned_at = NULL, binned_by = NULL WHERE id = ?');
    for (const { show } of playing) take.run(show.id);
    shows.keepMissingTypes();
    facts.set('e131-cid', cid);
    facts.set(STARTED_WITH, file?.key ?? '');
    if (file !== undefined) facts.set(file.key, 'kept');
    return revisions;
  })();
}

/**
 * Keeps a show in the store of a folder that no node has open.
 * @throws InputError when one has: it would not know of it.
 */
export function keepShow(folder: string, show: Show, now: Millis): BroughtShow {
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

import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { InputError } from '../core/errors.ts';
import { useFolder } from './folder.ts';

export type Db = Database.Database;

/** Nothing of it may be changed. */
export class NewerStore extends InputError {
  constructor(folder: string) {
    super(`The store in ${folder} was made by a newer Duskhand; it is left as it is`);
  }
}

/** A store that does not open. Whoever asked may have named another folder; whoever plays from it looks for what else there is. */
export class UnusableStore extends InputError {
  readonly reason: InstanceType<typeof Database.SqliteError>;
  constructor(folder: string, reason: InstanceType<typeof Database.SqliteError>) {
    super(`The store in ${folder} cannot be used: ${reason.message} (${reason.code})`);
    this.reason = reason;
  }
}

/** Whether a store that refuses is itself at fault, and not the disk that it lies on or somebody who holds it. */
export function isDamage(error: unknown): boolean {
  const { code } = error instanceof UnusableStore ? error.reason : ((error ?? {}) as { code?: unknown });
  // SQLITE_ERROR: its tables are not what its version says.
  return (
    code === 'SQLITE_NOTADB' ||
    String(code).startsWith('SQLITE_CORRUPT') ||
    (error instanceof UnusableStore && code === 'SQLITE_ERROR')
  );
}

const FILE = 'duskhand.sqlite';
const migrationsFolder = new URL('./migrations/', import.meta.url);

/**
 * Opens the store of a data folder and brings it up to date, one numbered migration after the other, each whole or not at all.
 * @throws InputError when the folder or the store in it cannot be used, or the store was made by a newer Duskhand.
 */
export function openDatabase(folder: string): Db {
  return openFile(useFolder(folder, FILE), folder);
}

/** The store of a folder, whether it is there or not. */
export const databaseIn = (folder: string): string => join(folder, FILE);

/** As {@link openDatabase}, of any file. `folder`: what it is called in words. */
export function openFile(file: string, folder: string): Db {
  let db: Db | undefined;
  try {
    db = new Database(file);
    db.pragma('journal_mode = WAL');
    // A command that was answered must outlive a power cut, not only a crash.
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    db.pragma('busy_timeout = 2000');
    migrate(db, folder);
    return db;
  } catch (error) {
    db?.close();
    if (error instanceof Database.SqliteError) throw new UnusableStore(folder, error);
    throw error;
  }
}

/** A file of which nobody else knows, brought up to date; where that cannot be, as it stands. */
export function openAsItStands(file: string): Db {
  const db = new Database(file);
  try {
    // All of it in the one file: what lies beside it need not stay.
    db.pragma('journal_mode = MEMORY');
  } catch (error) {
    db.close();
    throw error;
  }
  try {
    migrate(db, file);
  } catch {
    // Then whoever reads finds out what can be read.
  }
  return db;
}

/** Whether a folder holds a store. */
export const hasDatabase = (folder: string): boolean => existsSync(databaseIn(folder));

function migrate(db: Db, folder: string): void {
  const steps = readdirSync(migrationsFolder)
    .filter((name) => name.endsWith('.sql'))
    .map((name) => ({ number: Number.parseInt(name, 10), sql: readFileSync(new URL(name, migrationsFolder), 'utf8') }))
    .sort((a, b) => a.number - b.number);
  const newest = steps.at(-1)?.number ?? 0;
  db.transaction(() => {
    const has = db.pragma('user_version', { simple: true }) as number;
    if (has > newest) throw new NewerStore(folder);
    for (const step of steps) {
      if (step.number <= has) continue;
      db.exec(step.sql);
      db.pragma(`user_version = ${step.number}`);
    }
  }).immediate();
}

import { copyFileSync, existsSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { InputError } from '../core/errors.ts';
import { asidesIn, copiesOf } from './copies.ts';
import { type Db, databaseIn, isDamage, NewerStore, openAsItStands, openDatabase } from './database.ts';
import { ShowTable } from './shows.ts';

/**
 * Where a store may be read from, the best first: itself; a copy of it in memory, where its disk refuses to be written; the copies of
 * earlier starts. Each is opened when those before it could not tell what was asked.
 */
export class Sources {
  readonly #folder: string;
  readonly #open: Iterator<Db | undefined>;
  readonly #opened: (Db | undefined)[] = [];
  #isDamaged = false;
  /** What keeps the store from being used as it is, in plain sentences. */
  readonly said: string[] = [];

  constructor(folder: string) {
    this.#folder = folder;
    this.#open = this.#opening();
  }

  /** Something of the store itself is gone or cannot be read. */
  get isDamaged(): boolean {
    return this.#isDamaged;
  }

  /**
   * What the first source tells that can be read; undefined where none can.
   * @throws InputError where it can be read and makes no sense: an older copy would not make it better.
   */
  first<T>(read: (db: Db) => T): T | undefined {
    for (let i = 0; ; i++) {
      if (i === this.#opened.length) {
        const { done, value } = this.#open.next();
        if (done) return undefined;
        this.#opened.push(value);
      }
      const db = this.#opened[i];
      if (db === undefined) continue;
      try {
        return read(db);
      } catch (error) {
        if (error instanceof InputError) throw error;
        if (i === 0 && (isDamage(error) || error instanceof SyntaxError)) this.#isDamaged = true;
      }
    }
  }

  close(): void {
    for (const db of this.#opened) db?.close();
  }

  /** The first one is the store itself; undefined: it does not open. */
  *#opening(): Generator<Db | undefined, undefined> {
    yield this.#store();
    for (const copy of copiesOf(this.#folder)) yield this.#tried(() => openBeside(copy));
    return undefined;
  }

  #store(): Db | undefined {
    const file = databaseIn(this.#folder);
    try {
      // A store that was ever opened has a page at least.
      if (!existsSync(file) || statSync(file).size === 0) {
        const remains = [...asidesIn(this.#folder), ...copiesOf(this.#folder)];
        this.#isDamaged = existsSync(file) || remains.length > 0;
        return undefined;
      }
    } catch (error) {
      this.#isDamaged = true;
      this.said.push(`The data folder ${this.#folder} cannot be read: ${error instanceof Error ? error.message : String(error)}.`);
      return undefined;
    }
    try {
      const db = openDatabase(this.#folder);
      if (copiesOf(this.#folder).length === 0 || new ShowTable(db).revisions().length > 0) return db;
      // A new one where the old one was lost: what was in that comes first.
      db.close();
      this.#isDamaged = true;
      return undefined;
    } catch (error) {
      if (isDamage(error)) {
        this.#isDamaged = true;
        return undefined;
      }
      const reason = error instanceof Error ? error.message : String(error);
      this.said.push(error instanceof NewerStore ? `${reason}: what of it can be understood plays.` : `${reason}. ${READ_BESIDE}`);
      return this.#tried(() => openBeside(file));
    }
  }

  #tried(open: () => Db): Db | undefined {
    try {
      return open();
    } catch {
      return undefined;
    }
  }
}

const READ_BESIDE =
  'It is read from a copy in memory: what is changed now is lost at the next start. Make room on the disk, or change the card after the event.';

/** Opens what a file and its log hold from a copy in memory: the file itself is only read. */
function openBeside(file: string): Db {
  const beside = newFolderBeside();
  try {
    for (const ending of ['', '-wal']) if (existsSync(file + ending)) copyFileSync(file + ending, join(beside, `store${ending}`));
    return openAsItStands(join(beside, 'store'));
  } finally {
    // An open file stays readable.
    rmSync(beside, { recursive: true, force: true });
  }
}

/** Linux keeps what lies here in memory, also where every disk is full or read-only. */
const IN_MEMORY = '/dev/shm';

/** In memory; where that takes nothing, as in a container that is read-only, wherever else something passing may lie. */
function newFolderBeside(): string {
  try {
    return mkdtempSync(join(IN_MEMORY, 'duskhand-'));
  } catch {
    return mkdtempSync(join(tmpdir(), 'duskhand-'));
  }
}

import { isDeepStrictEqual } from 'node:util';
import Database from 'better-sqlite3';
import { InputError } from '../core/errors.ts';
import { LONGEST_LIST } from '../core/explain.ts';
import type { Millis } from '../core/units.ts';
import type { Show } from '../show/document.ts';
import { faultsOf } from '../show/faults.ts';
import { type Reading, readDraft } from '../show/read.ts';
import { replay } from '../show/replay.ts';
import type { Document } from '../show/versions.ts';
import type { Db } from './database.ts';
import { EditTable } from './edits.ts';
import { TypeContents } from './type-contents.ts';

export interface StoredShow extends Reading {
  readonly revision: number;
}

/** Shows as documents with every revision kept. */
/** A show that was brought as a whole. */
export interface BroughtShow extends StoredShow {
  /** Who held back from the lights what was edited before, which is in the history now and not in this. */
  readonly unheld?: string;
}

export class ShowTable {
  readonly #db: Db;
  readonly #types: TypeContents;
  readonly edits: EditTable;

  constructor(db: Db) {
    this.#db = db;
    this.#types = new TypeContents(db);
    this.edits = new EditTable(db, this.#types);
  }

  /** Keeps a document as the newest revision of its show. A document that is the same as the newest one adds none. */
  keep(show: Show, who: string, now: Millis): BroughtShow {
    return this.#db.transaction(() => {
      const document = JSON.stringify(show);
      const parent = this.current(show.id);
      const hold = this.held(show.id);
      const unheld = hold === undefined ? {} : { unheld: hold.who };
      // Whoever brings a show anew wants it on the shelf, and wants it played as it is.
      this.#db.prepare('UPDATE show SET binned_at = NULL, binned_by = NULL, held = NULL, held_by = NULL WHERE id = ?').run(show.id);
      if (parent !== undefined && this.#says(parent, document)) return { revision: parent, show };
      const { lastInsertRowid } = this.#db
        .prepare('INSERT INTO revision (show_id, document, made_at, origin, parent) VALUES (?, ?, ?, ?, ?)')
        .run(show.id, document, Math.round(now), who, parent ?? null);
      const revision = Number(lastInsertRowid);
      this.#types.keep(revision, show);
      this.#db
        .prepare('INSERT INTO show (id, current) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET current = excluded.current')
        .run(show.id, revision);
      return { revision, show, ...unheld };
    })();
  }

  /** Whole documents that play and were kept before types were kept with them get the types of today. */
  keepMissingTypes(): void {
    const rows = this.#db
      .prepare(
        `SELECT number FROM revision WHERE number IN (SELECT current FROM show) AND document <> '' AND number NOT IN (SELECT revision FROM revision_type)`,
      )
      .all() as { number: number }[];
    for (const { number } of rows) {
      try {
        this.#types.keep(number, this.draft(number).show);
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
      }
    }
  }

  /**
   * The current revision of a show, or undefined.
   * @throws InputError where it cannot be read.
   */
  open(id: string): StoredShow | undefined {
    const number = this.current(id);
    return number === undefined ? undefined : this.draft(number);
  }

  /**
   * A revision, read through the schema again: the file may come from elsewhere. The fixture types are those that it was made with.
   * @throws InputError where it cannot be read, or cannot be played.
   */
  read(number: number): StoredShow {
    const draft = this.draft(number);
    const faults = faultsOf(draft.show, LONGEST_LIST);
    if (faults.length > 0) throw new InputError('The show has mistakes', faults);
    return draft;
  }

  /** As {@link read}, played or not. */
  draft(number: number): StoredShow {
    const { whole, edits } = this.edits.since(number);
    const document = this.#types.carriedBy(whole, JSON.parse(this.#document(whole)));
    return { revision: number, ...readDraft(edits.length === 0 ? document : replay(document as Document, edits)) };
  }

  /** The number of a show's current revision, or undefined. */
  current(id: string): number | undefined {
    return (this.#db.prepare('SELECT current FROM show WHERE id = ?').get(id) as { current: number } | undefined)?.current;
  }

  /** The revision that plays while what was edited since is held back, and who holds it; undefined where nothing is. */
  held(id: string): { readonly revision: number; readonly who: string } | undefined {
    // A store that could not be brought up to date is read as it stands.
    if (this.#db.prepare("SELECT 1 FROM pragma_table_info('show') WHERE name = 'held'").get() === undefined) return undefined;
    const row = this.#db.prepare('SELECT held AS revision, held_by AS who FROM show WHERE id = ? AND held IS NOT NULL').get(id);
    return row as { revision: number; who: string } | undefined;
  }

  /** From now on the newest revision of a show plays. */
  release(id: string): void {
    this.#db.prepare('UPDATE show SET held = NULL, held_by = NULL WHERE id = ?').run(id);
  }

  /** Whose revision it is; known also where it cannot be read. */
  showOf(number: number): string | undefined {
    const row = this.#db.prepare('SELECT show_id AS id FROM revision WHERE number = ?').get(number);
    return (row as { id: string } | undefined)?.id;
  }

  /** Whether the newest revision of a show says the same as a document. */
  has(show: Show): boolean {
    const newest = this.current(show.id);
    return newest !== undefined && this.#says(newest, JSON.stringify(show));
  }

  /** Numbers of a show's revisions, the newest first; without a show, of all. */
  revisions(id?: string): number[] {
    const rows = this.#db
      .prepare('SELECT number FROM revision WHERE ? IS NULL OR show_id = ? ORDER BY number DESC')
      .all(id ?? null, id ?? null);
    return (rows as { number: number }[]).map(({ number }) => number);
  }

  ids(): string[] {
    return (this.#db.prepare('SELECT id FROM show ORDER BY id').all() as { id: string }[]).map(({ id }) => id);
  }

  /** Whether a revision says the same, in whatever order the fields stand: other programs write them in another. One that is broken does not. */
  #says(number: number, document: string): boolean {
    try {
      return isDeepStrictEqual(JSON.parse(JSON.stringify(this.draft(number).show)), JSON.parse(document));
    } catch (error) {
      if (error instanceof Database.SqliteError) throw error;
      return false;
    }
  }

  #document(number: number): string {
    return (this.#db.prepare('SELECT document FROM revision WHERE number = ?').get(number) as { document: string }).document;
  }
}

import { isDeepStrictEqual } from 'node:util';
import type { Millis } from '../core/units.ts';
import type { Show } from '../show/document.ts';
import { type Reading, readShow } from '../show/read.ts';
import type { Db } from './database.ts';

export interface StoredShow extends Reading {
  readonly revision: number;
}

/** Whether two documents say the same, in whatever order their fields stand: other programs write them in another. */
const isSame = (a: string, b: string): boolean => a === b || isDeepStrictEqual(JSON.parse(a), JSON.parse(b));

/** Shows as documents with every revision kept. */
export class ShowTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /** Keeps a document as the newest revision of its show. A document that is the same as the newest one adds none. */
  keep(show: Show, origin: string, now: Millis): StoredShow {
    return this.#db.transaction(() => {
      const document = JSON.stringify(show);
      const current = this.#current(show.id);
      if (current !== undefined && isSame(current.document, document)) return { revision: current.number, show };
      const { lastInsertRowid } = this.#db
        .prepare('INSERT INTO revision (show_id, document, made_at, origin) VALUES (?, ?, ?, ?)')
        .run(show.id, document, Math.round(now), origin);
      const revision = Number(lastInsertRowid);
      this.#db
        .prepare('INSERT INTO show (id, current) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET current = excluded.current')
        .run(show.id, revision);
      return { revision, show };
    })();
  }

  /** The current revision of a show, or undefined. Read through the schema again: the file may come from elsewhere. */
  open(id: string): StoredShow | undefined {
    const row = this.#current(id);
    return row === undefined ? undefined : { revision: row.number, ...readShow(JSON.parse(row.document)) };
  }

  revision(number: number): StoredShow | undefined {
    const row = this.#db.prepare('SELECT document FROM revision WHERE number = ?').get(number) as { document: string } | undefined;
    return row === undefined ? undefined : { revision: number, ...readShow(JSON.parse(row.document)) };
  }

  /** The show that was changed last, or undefined in an empty store. */
  latest(): StoredShow | undefined {
    const row = this.#db.prepare('SELECT id FROM show ORDER BY current DESC LIMIT 1').get() as { id: string } | undefined;
    return row === undefined ? undefined : this.open(row.id);
  }

  ids(): string[] {
    return (this.#db.prepare('SELECT id FROM show ORDER BY id').all() as { id: string }[]).map(({ id }) => id);
  }

  #current(id: string): { number: number; document: string } | undefined {
    return this.#db.prepare('SELECT number, document FROM show JOIN revision ON number = current WHERE id = ?').get(id) as
      | { number: number; document: string }
      | undefined;
  }
}

import { createHash } from 'node:crypto';
import { typesWith } from '../rig/library.ts';
import type { Show } from '../show/document.ts';
import type { Db } from './database.ts';

/** The fixture types that revisions were made with, each content once. */
export class TypeContents {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /** Keeps every type that the fixtures of a revision use, the library's among them. */
  keep(revision: number, { fixtures, fixtureTypes }: Pick<Show, 'fixtures' | 'fixtureTypes'>): void {
    const types = typesWith(fixtureTypes);
    const content = this.#db.prepare('INSERT INTO type_content (hash, type) VALUES (?, ?) ON CONFLICT DO NOTHING');
    const use = this.#db.prepare('INSERT INTO revision_type (revision, id, hash) VALUES (?, ?, ?)');
    for (const id of new Set(fixtures.map(({ type }) => type))) {
      const json = JSON.stringify(types.get(id));
      if (json === undefined) continue;
      content.run(hashOf(json), json);
      use.run(revision, id, hashOf(json));
    }
  }

  /** The document with the types that its revision was made with, where those of today are others or are there no more. */
  carriedBy(revision: number, document: unknown): unknown {
    const { fixtureTypes = [] } = (document ?? {}) as { fixtureTypes?: unknown };
    if (!Array.isArray(fixtureTypes)) return document;
    const own = new Set(fixtureTypes.map((one: unknown) => (one as { id?: unknown } | null)?.id));
    const today = typesWith([]);
    const rows = this.#db
      .prepare('SELECT id, hash, type FROM revision_type JOIN type_content USING (hash) WHERE revision = ?')
      .all(revision) as { id: string; hash: string; type: string }[];
    const changed = rows.filter(({ id, hash }) => !own.has(id) && hashOf(JSON.stringify(today.get(id)) ?? '') !== hash);
    if (changed.length === 0) return document;
    return { ...(document as object), fixtureTypes: [...fixtureTypes, ...changed.map(({ type }) => JSON.parse(type) as unknown)] };
  }
}

const hashOf = (text: string): string => createHash('sha256').update(text).digest('hex');

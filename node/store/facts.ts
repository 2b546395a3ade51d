import type { Db } from './database.ts';

/** Facts about this node that must stay the same for life, such as its E1.31 component identifier. */
export class FactTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /** The fact as it stands; made and kept the first time that it is asked for. */
  getOrMake(name: string, make: () => string): string {
    this.#db.prepare('INSERT INTO fact (name, value) VALUES (?, ?) ON CONFLICT DO NOTHING').run(name, make());
    return (this.#db.prepare('SELECT value FROM fact WHERE name = ?').get(name) as { value: string }).value;
  }
}

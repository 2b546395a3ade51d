import type { Db } from './database.ts';

/** Facts about this node that outlive a run, such as its E1.31 component identifier. */
export class FactTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  get(name: string): string | undefined {
    return (this.#db.prepare('SELECT value FROM fact WHERE name = ?').get(name) as { value: string } | undefined)?.value;
  }

  /** Nothing is written that is there already. */
  set(name: string, value: string): void {
    if (this.get(name) === value) return;
    this.#db
      .prepare('INSERT INTO fact (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value')
      .run(name, value);
  }
}

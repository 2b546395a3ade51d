import type { Db } from './database.ts';

/** Facts about this node that outlive a run, such as its E1.31 component identifier. */
export class FactTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /** The fact as it stands; made and kept the first time that it is asked for. */
  getOrMake(name: string, make: () => string): string {
    const known = this.get(name);
    // Nothing is written that is there already: a node must start on a disk that is full.
    if (known !== undefined) return known;
    const value = make();
    this.set(name, value);
    return value;
  }

  get(name: string): string | undefined {
    return (this.#db.prepare('SELECT value FROM fact WHERE name = ?').get(name) as { value: string } | undefined)?.value;
  }

  set(name: string, value: string): void {
    this.#db
      .prepare('INSERT INTO fact (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value')
      .run(name, value);
  }
}

import type { Db } from './database.ts';

/** Facts about this node that must stay the same for life, such as its E1.31 component identifier. */
export class FactTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /** The fact as it stands; made and kept the first time that it is asked for. */
  getOrMake(name: string, make: () => string): string {
    const known = this.#db.prepare('SELECT value FROM fact WHERE name = ?').get(name) as { value: string } | undefined;
    // Nothing is written that is there already: a node must start on a disk that is full.
    if (known !== undefined) return known.value;
    const value = make();
    this.#db.prepare('INSERT INTO fact (name, value) VALUES (?, ?)').run(name, value);
    return value;
  }
}

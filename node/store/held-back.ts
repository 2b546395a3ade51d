import type { HeldBack } from '../core/held-back.ts';
import type { Millis } from '../core/units.ts';
import type { Db } from './database.ts';

/** Rows kept: more than a night can bring. */
const KEPT = 2000;

/** What guards have held back, newest last. */
export class HeldBackTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /** A stretch is written again as it goes on. */
  keep(row: HeldBack): void {
    this.#db
      .prepare(
        `INSERT INTO held_back (guard, since, until, what, times) VALUES ($guard, $since, $until, $what, $times)
         ON CONFLICT (since, guard) DO UPDATE SET until = excluded.until, what = excluded.what, times = excluded.times`,
      )
      .run({ ...row, since: Math.round(row.since), until: Math.round(row.until) });
    this.#db
      .prepare('DELETE FROM held_back WHERE since < (SELECT since FROM held_back ORDER BY since DESC LIMIT 1 OFFSET ?)')
      .run(KEPT);
  }

  /** What was seen after `since`, newest first. */
  after(since: Millis): HeldBack[] {
    return this.#db
      .prepare('SELECT guard, since, until, what, times FROM held_back WHERE until >= ? ORDER BY since DESC, guard LIMIT 200')
      .all(since) as HeldBack[];
  }
}

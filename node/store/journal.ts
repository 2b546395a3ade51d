import type { Command } from '../core/commands.ts';
import type { Millis } from '../core/units.ts';
import { readState, stateText } from '../playback/journalled.ts';
import type { PlayState } from '../playback/state.ts';
import type { Db } from './database.ts';

/** Rows kept: more than a night of presses. */
const KEPT = 5000;
const PRUNE_EVERY = 500;
/** Rows that are tried, should the newest be broken. */
const LOOKED_AT = 50;

/** What plays, as it is written down: one row holds all of it. */
export interface JournalRow {
  /** By the clock that plays, and by the wall. */
  readonly at: Millis;
  readonly wall: Millis;
  readonly revision: number;
  readonly who: string;
  readonly command: Command | null;
  readonly state: PlayState;
}

export type Remembered = Pick<JournalRow, 'at' | 'wall' | 'revision' | 'state'>;

/** Where the node was when it last ran. */
export interface LastRow {
  /** Revision that played. */
  readonly revision: number;
  /** What was on: the newest row that can be read, of the last few; absent where there is none. */
  readonly wasOn?: Remembered;
  /** It is not the newest row of all. */
  readonly isOlder: boolean;
}

/** The journal of what plays. Each row holds the whole state, so that a restart reads one row and replays nothing. */
export class JournalTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  write(row: JournalRow): void {
    const { lastInsertRowid } = this.#db
      .prepare('INSERT INTO journal (at, playing_at, revision, who, command, state) VALUES (?, ?, ?, ?, ?, ?)')
      .run(
        row.wall,
        row.at,
        row.revision,
        row.who,
        row.command === null ? null : JSON.stringify(row.command),
        stateText(row.state),
      );
    const number = Number(lastInsertRowid);
    if (number % PRUNE_EVERY === 0) this.#db.prepare('DELETE FROM journal WHERE number <= ?').run(number - KEPT);
  }

  /** The revision of a show that played last, as far back as the journal goes. */
  lastOf(show: string): number | undefined {
    const row = this.#db
      .prepare(
        'SELECT revision FROM journal WHERE revision IN (SELECT number FROM revision WHERE show_id = ?) ORDER BY number DESC LIMIT 1',
      )
      .get(show);
    return (row as { revision: number } | undefined)?.revision;
  }

  /** Undefined before the first row. */
  last(): LastRow | undefined {
    const rows = this.#db
      .prepare('SELECT at AS wall, playing_at AS at, revision, state FROM journal ORDER BY number DESC LIMIT ?')
      .all(LOOKED_AT) as { at: number; wall: number; revision: number; state: string }[];
    const [newest] = rows;
    if (newest === undefined) return undefined;
    for (const [i, { state: text, ...row }] of rows.entries()) {
      const state = readState(parsed(text));
      if (state !== undefined) return { revision: newest.revision, wasOn: { ...row, state }, isOlder: i > 0 };
    }
    return { revision: newest.revision, isOlder: true };
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

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
  /** Its number is to be higher than this, though the rows up to there are lost. */
  readonly above?: number;
}

export interface Remembered extends Pick<JournalRow, 'at' | 'wall' | 'revision' | 'state'> {
  /** Whose revision it is; undefined where that is lost. */
  readonly show: string | undefined;
}

/** Where the node was when it last ran. */
export interface LastRow {
  /** Rows are numbered upwards. */
  readonly number: number;
  /** Revision that played, and of which show; undefined where that is lost. */
  readonly revision: number;
  readonly show: string | undefined;
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

  /** @returns the number of the row */
  write(row: JournalRow): number {
    const { lastInsertRowid } = this.#db
      .prepare(
        `INSERT INTO journal (number, at, playing_at, revision, who, command, state)
         VALUES ((SELECT CASE WHEN $above > coalesce(max(number), 0) THEN 1 + $above END FROM journal), $wall, $at, $revision, $who, $command, $state)`,
      )
      .run({
        above: 0,
        ...row,
        command: row.command === null ? null : JSON.stringify(row.command),
        state: stateText(row.state),
      });
    const number = Number(lastInsertRowid);
    if (number % PRUNE_EVERY === 0) this.#db.prepare('DELETE FROM journal WHERE number <= ?').run(number - KEPT);
    return number;
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
      .prepare(`SELECT number, at AS wall, playing_at AS at, revision, state, (SELECT show_id FROM revision WHERE number = journal.revision) AS show
         FROM journal ORDER BY number DESC LIMIT ?`)
      .all(LOOKED_AT) as (Omit<Remembered, 'state' | 'show'> & { number: number; state: string; show: string | null })[];
    const [newest] = rows;
    if (newest === undefined) return undefined;
    const last = { number: newest.number, revision: newest.revision, show: newest.show ?? undefined };
    for (const [i, { state: text, at, wall, revision, show }] of rows.entries()) {
      const state = readState(parsed(text));
      if (state !== undefined) return { ...last, wasOn: { at, wall, revision, show: show ?? undefined, state }, isOlder: i > 0 };
    }
    return { ...last, isOlder: true };
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

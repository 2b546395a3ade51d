import { existsSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { clearAsides, copiesOf, nextAside } from './copies.ts';
import { type Db, databaseIn, openFile } from './database.ts';

/** Columns of JSON: a row in which one is broken is left for a copy that has it whole. */
const JSON_COLUMNS: ReadonlySet<string> = new Set([
  'revision.document',
  'revision.changes',
  'revision.inverse',
  'revision.undoes',
  'journal.command',
  'journal.state',
  'fixture_type.type',
  'type_content.type',
  'setting.value',
]);
const SIDES = ['', '-wal', '-shm'];
/** Rows that are looked for one by one between what can be reached from both ends. */
const MOST_BETWEEN = 20_000;

/**
 * Makes a new store of what can be read of a damaged one, and of its copies where that has gaps, and puts it in the place of the damaged
 * one, which is kept under another name. The new one is whole before anything is moved.
 * @returns what was done, in a plain sentence
 */
export function mendStore(folder: string): string {
  const file = databaseIn(folder);
  const coming = `${file}.coming`;
  for (const side of SIDES) rmSync(coming + side, { force: true });
  const to = openFile(coming, folder);
  try {
    to.pragma('foreign_keys = OFF');
    to.transaction(() => {
      for (const from of [file, ...copiesOf(folder)]) salvage(from, to);
      makeWhole(to);
    })();
  } finally {
    to.close();
  }
  const aside = nextAside(folder);
  const had = existsSync(file);
  for (const side of SIDES) if (existsSync(file + side)) renameSync(file + side, join(folder, aside) + side);
  renameSync(coming, file);
  clearAsides(folder);
  return had
    ? `The store was damaged: what could be read of it and its copies is in a new one, and the damaged one was put aside as ${aside}.`
    : 'The store was gone: what could be read of its copies is in a new one.';
}

/** Takes every row that can be read and is not there yet. */
function salvage(file: string, to: Db): void {
  let from: Db;
  try {
    from = new Database(file, { readonly: true, fileMustExist: true });
  } catch {
    return;
  }
  try {
    for (const table of tablesOf(to)) salvageTable(table, from, to);
  } finally {
    from.close();
  }
}

function salvageTable(table: string, from: Db, to: Db): void {
  try {
    const has = new Set(columnsOf(from, table));
    const columns = columnsOf(to, table).filter((name) => has.has(name));
    const names = columns.join(', ');
    const put = to.prepare(`INSERT OR IGNORE INTO ${table} (${names}) VALUES (${columns.map(() => '?').join(', ')})`);
    const isSound = (row: readonly unknown[]): boolean =>
      columns.every((name, i) => !JSON_COLUMNS.has(`${table}.${name}`) || isJson(row[i]));
    const take = ([, ...row]: readonly unknown[]): void => {
      if (isSound(row)) put.run(...row);
    };
    const rows = (rest: string) =>
      from.prepare<unknown[], [number, ...unknown[]]>(`SELECT rowid, ${names} FROM ${table} ${rest}`).raw();
    const [first = 0, last = 0] = ['ASC', 'DESC'].map((order) => {
      let reached: number | undefined;
      try {
        for (const row of rows(`ORDER BY rowid ${order}`).iterate()) {
          reached = row[0];
          take(row);
        }
      } catch {
        // As far as it goes.
      }
      return reached;
    });
    // What lies between two damaged pages is reached from neither end.
    const one = rows('WHERE rowid = ?');
    for (let rowid = first + 1; rowid < Math.min(last, first + MOST_BETWEEN); rowid++) {
      try {
        const row = one.get(rowid);
        if (row !== undefined) take(row);
      } catch {
        // It is one of those that are lost.
      }
    }
  } catch {
    // It has no such table any more.
  }
}

/** Lets go of what names something that is lost. */
function makeWhole(db: Db): void {
  // An edit whose document is lost can be made out no more, nor what came after it.
  db.exec(`
    WITH RECURSIVE whole (number) AS (
      SELECT number FROM revision WHERE document <> ''
      UNION SELECT revision.number FROM revision JOIN whole ON revision.parent = whole.number
    )
    DELETE FROM revision WHERE number NOT IN (SELECT number FROM whole);
    DELETE FROM show WHERE id NOT IN (SELECT show_id FROM revision);
    INSERT OR IGNORE INTO show (id, current) SELECT show_id, max(number) FROM revision GROUP BY show_id;
    UPDATE show SET current = (SELECT max(number) FROM revision WHERE show_id = show.id) WHERE current NOT IN (SELECT number FROM revision);
    UPDATE show SET held = NULL, held_by = NULL WHERE held NOT IN (SELECT number FROM revision);
    UPDATE revision SET parent = NULL WHERE parent NOT IN (SELECT number FROM revision);
  `);
  for (;;) {
    const orphans = db.pragma('foreign_key_check') as { table: string; rowid: number }[];
    if (orphans.length === 0) return;
    for (const { table, rowid } of orphans) db.prepare(`DELETE FROM ${table} WHERE rowid = ?`).run(rowid);
  }
}

const tablesOf = (db: Db): string[] =>
  (db.prepare(`SELECT name FROM sqlite_schema WHERE type = 'table'`).all() as { name: string }[]).map(({ name }) => name);

const columnsOf = (db: Db, table: string): string[] =>
  (db.pragma(`table_info(${table})`) as { name: string }[]).map(({ name }) => name);

function isJson(value: unknown): boolean {
  // Absent, or left out where it follows from others.
  if (value === null || value === '') return true;
  try {
    JSON.parse(String(value));
    return true;
  } catch {
    return false;
  }
}

import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../node/core/errors.ts';
import { openDatabase } from '../../node/store/database.ts';
import { FactTable } from '../../node/store/facts.ts';
import { newFolder, open } from './new-folder.ts';

const MIGRATIONS = new URL('../../node/store/migrations/', import.meta.url);
const steps = readdirSync(MIGRATIONS).sort((a, b) => Number.parseInt(a, 10) - Number.parseInt(b, 10));
const version = (db: Database.Database) => db.pragma('user_version', { simple: true });
const schemaOf = (db: Database.Database) => db.prepare('SELECT name, sql FROM sqlite_schema ORDER BY name').all();

describe('migrations', () => {
  it('are numbered from 1 without a gap', () => {
    expect(steps.map((name) => Number.parseInt(name, 10))).toEqual(steps.map((_, i) => i + 1));
  });

  it('bring an empty folder up to the newest', () => {
    const folder = join(newFolder(), 'deep', 'down');
    const db = open(folder);
    expect(version(db)).toBe(steps.length);
    const tables = db
      .prepare("SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND name NOT LIKE 'sqlite_%'")
      .all();
    expect(tables).toEqual(expect.arrayContaining(['show', 'revision', 'journal', 'fact'].map((name) => ({ name, strict: 1 }))));
    // The store holds what guests of a wedding are none the wiser for, but it is nobody else's all the same.
    expect(statSync(folder).mode & 0o777).toBe(0o700);
  });

  it('run once: a second opening changes nothing', () => {
    const folder = newFolder();
    const first = openDatabase(folder);
    const before = schemaOf(first);
    first.close();
    const second = open(folder);
    expect(schemaOf(second)).toEqual(before);
    expect(version(second)).toBe(steps.length);
  });

  it.each(steps.map((_, i) => i + 1))('lead from version %i to the same tables, with what was in it', (from) => {
    const folder = newFolder();
    const old = new Database(join(folder, 'duskhand.sqlite'));
    for (const name of steps.slice(0, from)) old.exec(readFileSync(new URL(name, MIGRATIONS), 'utf8'));
    old.pragma(`user_version = ${from}`);
    old.exec("INSERT INTO fact VALUES ('e131-cid', 'kept')");
    old.close();
    const db = open(folder);
    expect(version(db)).toBe(steps.length);
    expect(schemaOf(db)).toEqual(schemaOf(open()));
    expect(new FactTable(db).get('e131-cid')).toBe('kept');
  });
});

describe('the store', () => {
  it('waits for the disk with every commit, and keeps references whole', () => {
    const db = open();
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    // 2: FULL (sqlite.org/pragma.html#pragma_synchronous).
    expect(db.pragma('synchronous', { simple: true })).toBe(2);
    const orphan = db.prepare("INSERT INTO journal (at, revision, who, state) VALUES (1, 77, 'nobody', '{}')");
    expect(() => orphan.run()).toThrow('FOREIGN KEY');
  });

  it('of a newer Duskhand is refused and left as it is', () => {
    const folder = newFolder();
    const newer = new Database(join(folder, 'duskhand.sqlite'));
    newer.pragma(`user_version = ${steps.length + 1}`);
    newer.close();
    expect(() => openDatabase(folder)).toThrow(InputError);
    expect(() => openDatabase(folder)).toThrow('was made by a newer Duskhand; it is left as it is');
    const same = new Database(join(folder, 'duskhand.sqlite'));
    expect(version(same)).toBe(steps.length + 1);
    expect(schemaOf(same)).toEqual([]);
    same.close();
  });

  it('that is no store is refused and left as it is', () => {
    const folder = newFolder();
    const file = join(folder, 'duskhand.sqlite');
    writeFileSync(file, 'Some letter of another program, long enough to be looked at. '.repeat(50));
    const before = readFileSync(file);
    expect(() => openDatabase(folder)).toThrow(InputError);
    expect(() => openDatabase(folder)).toThrow(`The store in ${folder} cannot be used: file is not a database`);
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  it('is not made where there is a file in the way', () => {
    const file = join(newFolder(), 'file');
    writeFileSync(file, '');
    expect(() => openDatabase(file)).toThrow(`The data folder ${file} cannot be used: ENOTDIR`);
    expect(() => openDatabase(join(file, 'below'))).toThrow('ENOTDIR');
    expect(existsSync(join(file, 'below'))).toBe(false);
  });
});

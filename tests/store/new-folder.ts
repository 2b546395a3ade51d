import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { type Db, openDatabase } from '../../node/store/database.ts';

/** A folder that goes when the test ends. */
export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'duskhand-test-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

/** A store that is closed when the test ends. */
export function open(folder = newFolder()): Db {
  const db = openDatabase(folder);
  onTestFinished(() => void db.close());
  return db;
}

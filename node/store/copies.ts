import { chmodSync, existsSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Db } from './database.ts';

const NEWEST = 'duskhand.copy-1.sqlite';
const OLDER = 'duskhand.copy-2.sqlite';
const ASIDE = /^duskhand\.damaged-(\d+)\.sqlite$/;

/** Copies of the store that there are, the newest first. */
export const copiesOf = (folder: string): string[] =>
  [NEWEST, OLDER].map((name) => join(folder, name)).filter((file) => existsSync(file));

/** Damaged stores that were put aside. @throws the system's error where the folder cannot be read. */
export const asidesIn = (folder: string): string[] =>
  existsSync(folder) ? readdirSync(folder).filter((name) => ASIDE.test(name)) : [];

/** Those that are kept: a card that breaks a store at every start must not be filled by it. */
const MOST_ASIDES = 2;

/** Lets go of all but the newest. */
export function clearAsides(folder: string): void {
  const oldestFirst = asidesIn(folder).sort((a, b) => numberOf(a) - numberOf(b));
  for (const name of oldestFirst.slice(0, -MOST_ASIDES))
    for (const side of ['', '-wal', '-shm']) rmSync(join(folder, name) + side, { force: true });
}

const numberOf = (aside: string): number => Number(ASIDE.exec(aside)?.[1]);

export const nextAside = (folder: string): string =>
  `duskhand.damaged-${1 + Math.max(0, ...asidesIn(folder).map(numberOf))}.sqlite`;

/**
 * Makes a copy of a store, and keeps the copy before it. Damage is not copied: the copies are what it is mended from.
 * @throws an error with the code SQLITE_CORRUPT where the store is damaged anywhere.
 */
export async function keepCopy(db: Db, folder: string): Promise<void> {
  const found = db.pragma('quick_check(1)', { simple: true });
  if (found !== 'ok') throw Object.assign(new Error(String(found)), { code: 'SQLITE_CORRUPT' });
  const newest = join(folder, NEWEST);
  const coming = `${newest}.coming`;
  await db.backup(coming);
  chmodSync(coming, 0o600);
  if (existsSync(newest)) renameSync(newest, join(folder, OLDER));
  renameSync(coming, newest);
}

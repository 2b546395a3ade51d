import { randomUUID } from 'node:crypto';
import { copyFileSync, existsSync, mkdtempSync, renameSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { InputError } from '../core/errors.ts';
import { standardSettings } from '../settings/check.ts';
import type { Settings } from '../settings/settings.ts';
import { copiesOf } from './copies.ts';
import { type Db, databaseIn, NewerStore, openDatabase, openFile } from './database.ts';
import { FactTable } from './facts.ts';
import { useFolder } from './folder.ts';
import { JournalTable, type Remembered } from './journal.ts';
import { type LastPicture, lastPictureIn } from './last-picture.ts';
import { type KnownRemote, RemoteTable } from './remotes.ts';
import { SettingsTable } from './settings.ts';
import { ShowTable, type StoredShow } from './shows.ts';

/** What a node begins with, as far as its disk still tells. */
export interface Beginning {
  /** Absent: the store gives none. */
  readonly show?: StoredShow;
  /** The newest revision of that show, where it is unfinished and an older one plays. */
  readonly draft?: StoredShow;
  /** What was on, if it was on of this show. */
  readonly wasOn?: Remembered;
  /** What went to the wire last, where no show can be read though there were some. */
  readonly picture?: LastPicture;
  /** There never was a show here. */
  readonly isNew: boolean;
  readonly cid: string;
  readonly settings: Settings;
  /** Whether anybody has ever set any. */
  readonly areSet: boolean;
  readonly remotes: readonly KnownRemote[];
  /** What was lost, and what to do, in plain sentences. */
  readonly said: readonly string[];
}

/** Where a store may be read from, the best first, with what is said when it had to be that one. */
interface Source {
  readonly open: () => Db;
  readonly said?: string;
  /** The file to put in the place of the store that could not be used. */
  readonly restores?: string;
}

/**
 * Reads what a node begins with, whatever its disk says: from its store, from a copy of that beside the disk that refuses, from an older
 * copy. The lights come first: nothing here is written but what puts a broken store aside, and nothing is destroyed.
 * @throws InputError where the folder is none.
 */
export function beginningOf(folder: string): Beginning {
  if (existsSync(folder) && !statSync(folder).isDirectory()) useFolder(folder, '');
  const said: string[] = [];
  const reads: Read[] = [];
  let mayRestore = true;
  for (const [i, source] of sourcesOf(folder).entries()) {
    const read = readFrom(source, said);
    if (read === undefined) continue;
    if (read instanceof NewerStore) {
      mayRestore = false;
      continue;
    }
    reads.push(read);
    const { show, hadShows, ...others } = read;
    if (show === undefined) {
      // A store in which nothing was ever kept: a node that begins, or one whose store was lost.
      if (i === 0 && !hadShows && !remembersAnything(folder)) return { ...others, isNew: true, said };
      continue;
    }
    if (source.said !== undefined) said.push(source.said);
    if (source.restores !== undefined && mayRestore) restore(folder, source.restores, said);
    return { ...others, show, isNew: false, said };
  }
  const picture = lastPictureIn(folder);
  said.push(picture === undefined ? NOTHING_LEFT : ONLY_PICTURE);
  const { show: _, hadShows: __, ...best } = reads[0] ?? nothing();
  return { ...best, isNew: false, said, ...(picture === undefined ? {} : { picture }) };
}

const nothing = (): Read => ({ cid: randomUUID(), settings: standardSettings, areSet: false, remotes: [], hadShows: false });

const remembersAnything = (folder: string): boolean =>
  lastPictureIn(folder) !== undefined || copiesOf(folder).some((file) => existsSync(file));

const ONLY_PICTURE =
  'No show can be read any more: the lights repeat what they showed last, without haze and lasers. Import the show again ("duskhand import FILE").';
const NOTHING_LEFT = 'No show can be read any more, so nothing is sent. Import the show again ("duskhand import FILE").';
const FROM_BESIDE =
  'The disk cannot be written, so the store is read from a copy in memory: what is changed now is lost at the next start. Change the card after the event.';
const FROM_COPY =
  'The store was damaged and a copy from an earlier start plays: what was changed since is lost. The damaged store was put aside.';

function sourcesOf(folder: string): Source[] {
  const file = databaseIn(folder);
  const copies = copiesOf(folder).filter((copy) => existsSync(copy));
  return [
    { open: () => openDatabase(folder) },
    ...(existsSync(file) ? [{ open: () => openBeside(file), said: FROM_BESIDE }] : []),
    ...copies.map((copy) => ({ open: () => openBeside(copy), said: FROM_COPY, restores: copy })),
  ];
}

/** Opens what a file and its log hold in a folder for passing things: the file itself is only read. */
function openBeside(file: string): Db {
  const beside = mkdtempSync(join(tmpdir(), 'duskhand-'));
  try {
    for (const ending of ['', '-wal']) if (existsSync(file + ending)) copyFileSync(file + ending, join(beside, `store${ending}`));
    return openFile(join(beside, 'store'), dirname(file));
  } finally {
    // An open file stays readable.
    rmSync(beside, { recursive: true, force: true });
  }
}

type Read = Omit<Beginning, 'isNew' | 'said' | 'picture'> & { readonly hadShows: boolean };

function readFrom({ open }: Source, said: string[]): Read | NewerStore | undefined {
  let db: Db | undefined;
  try {
    db = open();
    const shows = new ShowTable(db);
    const last = attempt(() => new JournalTable(db as Db).last());
    const show = showToPlay(shows, last);
    const draft = show === undefined ? undefined : attempt(() => shows.open(show.show.id));
    if (show !== undefined && draft?.revision !== show.revision)
      said.push(
        draft === undefined
          ? `The newest revision of "${show.show.name}" cannot be read: revision ${show.revision} plays instead.`
          : `"${show.show.name}" is unfinished: the last state of it that can be played plays.`,
      );
    const settings = new SettingsTable(db);
    const wasOn = show !== undefined && last !== undefined && shows.showOf(last.revision) === show.show.id ? last : undefined;
    return {
      ...(show === undefined ? {} : { show }),
      ...(wasOn === undefined ? {} : { wasOn }),
      ...(draft === undefined || draft.revision === show?.revision ? {} : { draft }),
      cid: attempt(() => new FactTable(db as Db).getOrMake('e131-cid', randomUUID)) ?? randomUUID(),
      settings: settingsFrom(settings, said),
      areSet: attempt(() => settings.areSet()) ?? false,
      remotes: attempt(() => new RemoteTable(db as Db).known()) ?? [],
      hadShows: shows.revisions().length > 0,
    };
  } catch (error) {
    // Another node that runs here, a newer store: the reason stands for itself.
    const reason = error instanceof Error ? error.message : String(error);
    if (!said.includes(reason)) said.push(reason);
    return error instanceof NewerStore ? error : undefined;
  } finally {
    db?.close();
  }
}

/** The show that played last, in the newest revision that can be read; else any other that can. */
function showToPlay(shows: ShowTable, last: Remembered | undefined): StoredShow | undefined {
  const played = last === undefined ? undefined : shows.showOf(last.revision);
  const current = played === undefined ? undefined : shows.current(played);
  const wanted = [
    ...(current === undefined ? [] : [current]),
    ...(played === undefined ? [] : shows.revisions(played)),
    ...shows.revisions(),
  ];
  const tried = new Set<number>();
  for (const number of wanted) {
    if (tried.has(number) || tried.size >= MOST_TRIED) continue;
    tried.add(number);
    const show = attempt(() => shows.read(number));
    if (show !== undefined) return show;
  }
  return undefined;
}

/** Revisions that are read before it is given up. */
const MOST_TRIED = 40;

function settingsFrom(table: SettingsTable, said: string[]): Settings {
  try {
    return table.read();
  } catch (error) {
    const why =
      error instanceof InputError ? error.problems.map(({ path, message }) => `${path}: ${message}`).join('; ') : String(error);
    said.push(`The settings of this node cannot be used (${why}): the standard ones hold until others are set.`);
    return standardSettings;
  }
}

function attempt<T>(what: () => T): T | undefined {
  try {
    return what();
  } catch {
    return undefined;
  }
}

/** Puts a copy where the damaged store was, which is kept under another name. On a disk that refuses all stays as it is. */
function restore(folder: string, copy: string, said: string[]): void {
  const file = databaseIn(folder);
  try {
    for (let n = 1; existsSync(file); n++) {
      const aside = join(folder, `duskhand.damaged-${n}.sqlite`);
      if (existsSync(aside)) continue;
      for (const ending of ['', '-wal', '-shm']) if (existsSync(file + ending)) renameSync(file + ending, aside + ending);
    }
    copyFileSync(copy, file);
  } catch (error) {
    said.push(
      `${basename(copy)} could not be put in the place of the store: ${error instanceof Error ? error.message : String(error)}`,
    );
  }
}

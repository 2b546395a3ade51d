import { randomUUID } from 'node:crypto';
import { existsSync, statSync } from 'node:fs';
import { InputError, problemLine } from '../core/errors.ts';
import { standardSettings } from '../settings/check.ts';
import type { Settings } from '../settings/settings.ts';
import { FactTable } from './facts.ts';
import { FixtureFileTable } from './fixture-files.ts';
import { isOpenToOthers, UnusableFolder } from './folder.ts';
import { JournalTable, type LastRow, type Remembered } from './journal.ts';
import { type LastPicture, lastPictureIn } from './last-picture.ts';
import { type KnownRemote, RemoteTable } from './remotes.ts';
import { SettingsTable } from './settings.ts';
import { readShowFile, type ShowFile, STARTED_WITH } from './show-files.ts';
import { ShowTable, type StoredShow } from './shows.ts';
import { Sources } from './sources.ts';

/** What a node begins with, as far as its disk still tells. */
export interface Beginning {
  /** Revision 0: it is not in the store yet. Absent: there is none. */
  readonly show?: StoredShow;
  /** The newest revision of that show, where it is unfinished and an older one plays. */
  readonly draft?: StoredShow;
  /** What was on, if it was on of this show. */
  readonly wasOn?: Remembered;
  /** What went to the wire last, where no show can be read though there were some. */
  readonly picture?: LastPicture;
  /** Of the show file that it is started with, or of the demo. */
  readonly file?: ShowFile;
  /** The store has gaps, or is gone: it must be mended before it is used. */
  readonly isDamaged: boolean;
  readonly cid: string;
  readonly settings: Settings;
  /** Whether anybody has ever set any. */
  readonly areSet: boolean;
  readonly remotes: readonly KnownRemote[];
  /** What was lost, and what to do, in plain sentences. */
  readonly said: readonly string[];
}

/**
 * Reads what a node begins with, whatever its disk says: the show of the file that it is started with, where that is another than at the
 * start before; else the show that played last; on a node that has never had one the demo; where every show is lost what went to the wire
 * last, or nothing. The lights come first: nothing is written here but what brings an old store up to date.
 * @param file the show file that the node is started with
 * @param demo the invented show that a node plays which has never had one
 * @throws InputError where the folder is none, or for a file that cannot be played where there is nothing else to play.
 */
export function beginningOf(folder: string, file: string | undefined, demo: URL): Beginning {
  if (existsSync(folder) && !statSync(folder).isDirectory())
    throw new UnusableFolder(folder, Object.assign(new Error(`${folder} is a file`), { code: 'ENOTDIR' }));
  const sources = new Sources(folder);
  try {
    return read(sources, folder, file, demo);
  } finally {
    sources.close();
  }
}

function read(sources: Sources, folder: string, path: string | undefined, demo: URL): Beginning {
  const said: string[] = [];
  const last = sources.first((db) => new JournalTable(db).last());
  const hadShows = (sources.first((db) => new ShowTable(db).revisions().length) ?? 0) > 0;
  const picture = lastPictureIn(folder);
  const isNew = !hadShows && !sources.isDamaged && picture === undefined;

  const file = path === undefined ? undefined : fileAt(path, sources, isNew ? undefined : said);
  const stored = storedShow(sources, file, last);
  const given = file ?? (isNew ? readShowFile(demo, 'demo', typesIn(sources)) : undefined);
  const show: StoredShow | undefined = stored ?? (given === undefined ? undefined : { ...given.reading, revision: 0 });
  const draft = stored === undefined ? undefined : attempt(() => sources.first((db) => new ShowTable(db).open(stored.show.id)));
  const wasOn = last?.wasOn !== undefined && showOf(sources, last.revision) === show?.show.id ? last.wasOn : undefined;
  const common = {
    cid: sources.first((db) => new FactTable(db).get('e131-cid')) ?? randomUUID(),
    settings: settingsFrom(sources, said),
    areSet: sources.first((db) => new SettingsTable(db).areSet()) ?? false,
    remotes: sources.first((db) => new RemoteTable(db).known()) ?? [],
    ...(given === undefined ? {} : { file: given }),
  };

  if (stored !== undefined && draft?.revision !== stored.revision)
    said.push(
      draft === undefined
        ? `The newest revision of "${stored.show.name}" cannot be read: revision ${stored.revision} plays instead.`
        : `"${stored.show.name}" is unfinished: the last state of it that can be played plays.`,
    );
  if (last?.isOlder && stored !== undefined) said.push(wasOn === undefined ? AFRESH : ON_BEFORE);
  if (show === undefined) said.push(picture === undefined ? NOTHING_LEFT : ONLY_PICTURE);
  if (existsSync(folder) && isOpenToOthers(folder)) said.push(`Others can read the data folder ${folder}, ${OPEN_TO_OTHERS}`);
  const { isDamaged } = sources;
  return {
    ...common,
    isDamaged,
    said: [...sources.said, ...(isDamaged ? [DAMAGED] : []), ...said],
    ...(show === undefined ? (picture === undefined ? {} : { picture }) : { show }),
    ...(draft === undefined || draft.revision === stored?.revision ? {} : { draft }),
    ...(wasOn === undefined ? {} : { wasOn }),
  };
}

const DAMAGED = 'The store is damaged. What cannot be read of it comes from the copy of an earlier start, as far as there is one.';
const AFRESH = 'What was on last cannot be read: the show starts afresh.';
const ON_BEFORE = 'What was on last cannot be read: what was on before it plays.';
const ONLY_PICTURE =
  'No show can be read any more: the lights repeat what they showed last, without haze and lasers. Import the show again ("duskhand import FILE").';
const NOTHING_LEFT = 'No show can be read any more, so nothing is sent. Import the show again ("duskhand import FILE").';
const OPEN_TO_OTHERS = 'where tokens and names of phones lie, and it cannot be closed: its owner has to ("chmod 700").';

const typesIn = (sources: Sources) => (id: string) => sources.first((db) => new FixtureFileTable(db).find(id));

/** @param said where to say why it cannot be used; absent: there is nothing else to play */
function fileAt(path: string, sources: Sources, said: string[] | undefined): ShowFile | undefined {
  try {
    return readShowFile(path, path, typesIn(sources));
  } catch (error) {
    if (!(error instanceof InputError) || said === undefined) throw error;
    said.push(`${[error.message, ...error.problems.map(problemLine)].join('; ')}. What played last plays instead.`);
    return undefined;
  }
}

/** What the store has to play; undefined where it has nothing, or the file is another than before. */
function storedShow(sources: Sources, file: ShowFile | undefined, last: LastRow | undefined): StoredShow | undefined {
  const played = last === undefined ? undefined : showOf(sources, last.revision);
  if (file === undefined || (factOf(sources, STARTED_WITH) === file.key && played !== undefined))
    return playable(sources, played, last?.revision) ?? playable(sources, undefined, undefined);
  // The node played another one in between; this one is taken up where it was left.
  const { id } = file.reading.show;
  return factOf(sources, file.key) === undefined ? undefined : playable(sources, id, undefined);
}

/** The newest revision that can be played, of one show or of any; failing the newest, the one that played. */
function playable(sources: Sources, id: string | undefined, played: number | undefined): StoredShow | undefined {
  const newest = id === undefined ? undefined : sources.first((db) => new ShowTable(db).current(id));
  const wanted = [newest, played, ...(sources.first((db) => new ShowTable(db).revisions(id)) ?? [])];
  for (const number of [...new Set(wanted)].slice(0, MOST_TRIED)) {
    const show = number === undefined ? undefined : attempt(() => sources.first((db) => new ShowTable(db).read(number)));
    if (show !== undefined) return show;
  }
  return undefined;
}

/** Revisions that are tried before it is given up: more edits than follow on one document. */
const MOST_TRIED = 100;

const showOf = (sources: Sources, revision: number): string | undefined =>
  sources.first((db) => new ShowTable(db).showOf(revision));

const factOf = (sources: Sources, name: string): string | undefined => sources.first((db) => new FactTable(db).get(name));

function settingsFrom(sources: Sources, said: string[]): Settings {
  try {
    return sources.first((db) => new SettingsTable(db).read()) ?? standardSettings;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const why = error.problems.map(({ path, message }) => `${path}: ${message}`).join('; ');
    said.push(`The settings of this node cannot be used (${why}): the standard ones hold until others are set.`);
    return standardSettings;
  }
}

/** Undefined where it makes no sense. */
function attempt<T>(what: () => T): T | undefined {
  try {
    return what();
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

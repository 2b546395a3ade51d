import { randomUUID } from 'node:crypto';
import { existsSync, statSync } from 'node:fs';
import { InputError, problemLine } from '../core/errors.ts';
import { standardSettings } from '../settings/check.ts';
import type { Settings } from '../settings/settings.ts';
import { asidesIn } from './copies.ts';
import { FactTable } from './facts.ts';
import { FixtureFileTable } from './fixture-files.ts';
import { isOpenToOthers, UnusableFolder } from './folder.ts';
import { JournalTable, type LastRow, type Remembered } from './journal.ts';
import { hasPicture, type LastPicture, lastPictureIn } from './last-picture.ts';
import { type KnownRemote, RemoteTable } from './remotes.ts';
import { SettingsTable } from './settings.ts';
import { firstFileIn, readShowFile, type ShowFile, STARTED_WITH } from './show-files.ts';
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
  /** What went to the wire last, where the store has no show any more though there were some. */
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
  /** What of it people must know who have a phone. */
  readonly lost: readonly Lost[];
}

/** Something that the disk does not tell any more, in the three parts in which trouble speaks. */
export interface Lost {
  readonly happened: string;
  readonly guestsSee: string;
  readonly todo: string;
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
  const lost: Lost[] = [];
  const said: string[] = [];
  const last = sources.first((db) => new JournalTable(db).last());
  const hadShows = (sources.first((db) => new ShowTable(db).revisions().length) ?? 0) > 0;
  const picture = lastPictureIn(folder);
  const isLost = !hadShows && (sources.isDamaged || hasPicture(folder) || asidesIn(folder).length > 0);
  const isEmpty = !hadShows && !isLost;
  // A node that was ended before it could keep the show that it was first started with goes on with that.
  const firstFile = isEmpty ? firstFileIn(folder) : undefined;
  const isNew = isEmpty && firstFile === undefined;

  const named = path ?? firstFile;
  const unread: string[] = [];
  const file = named === undefined ? undefined : fileAt(named, sources, isNew ? undefined : unread);
  const stored = storedShow(sources, file, last);
  // Nor does a demo play in the place of a show that was lost when a node is started with one, as the README's command does.
  const isAmiss = isLost && file?.reading.show.demo === true;
  const given = isAmiss ? undefined : (file ?? (isNew ? readShowFile(demo, 'demo', typesIn(sources)) : undefined));
  const show: StoredShow | undefined = stored ?? (given === undefined ? undefined : { ...given.reading, revision: 0 });
  const draft = stored === undefined ? undefined : attempt(() => sources.first((db) => new ShowTable(db).open(stored.show.id)));
  const wasOn = last?.wasOn !== undefined && showOf(sources, last.revision) === show?.show.id ? last.wasOn : undefined;
  const common = {
    cid: sources.first((db) => new FactTable(db).get('e131-cid')) ?? randomUUID(),
    settings: settingsFrom(sources, lost),
    areSet: sources.first((db) => new SettingsTable(db).areSet()) ?? false,
    remotes: sources.first((db) => new RemoteTable(db).known()) ?? [],
    ...(isAmiss ? { file } : given === undefined ? {} : { file: given }),
  };

  for (const why of unread) lost.push(showFile(why, show !== undefined));
  if (stored !== undefined && draft === undefined) lost.push(newestRevision(stored));
  if (stored !== undefined && draft !== undefined && draft.revision !== stored.revision)
    said.push(`"${stored.show.name}" is unfinished: the last state of it that can be played plays.`);
  if (last?.isOlder && stored !== undefined) lost.push(wasOn === undefined ? AFRESH : ON_BEFORE);
  if (show === undefined) lost.push(picture === undefined ? EVERYTHING : allButThe(picture));
  else if (isLost) lost.push(onlyTheFile(show));
  if (isAmiss) said.push(`"${file?.reading.show.name}" is a demo: it does not play in the place of a show that was lost.`);
  if (existsSync(folder) && isOpenToOthers(folder)) said.push(`Others can read the data folder ${folder}, ${OPEN_TO_OTHERS}`);
  const { isDamaged } = sources;
  if (isDamaged && show !== undefined) lost.push(STORE);
  return {
    ...common,
    isDamaged,
    said: [...sources.said, ...lost.map(inWords), ...said],
    lost,
    ...(show === undefined ? {} : { show }),
    ...(isLost && picture !== undefined ? { picture } : {}),
    ...(draft === undefined || draft.revision === stored?.revision ? {} : { draft }),
    ...(wasOn === undefined ? {} : { wasOn }),
  };
}

const inWords = ({ happened, guestsSee, todo }: Lost): string => `${happened} ${guestsSee} ${todo}`;

const AGAIN = 'Import the show again ("duskhand import FILE" on the node’s machine).';
const LOOK = 'Look at what is on, and press what should be.';
const EVERYTHING: Lost = {
  happened: 'No show can be read any more.',
  guestsSee: 'Nothing is sent: guests see no show light.',
  todo: AGAIN,
};
const allButThe = ({ blackout }: LastPicture): Lost => ({
  happened: 'No show can be read any more.',
  guestsSee: blackout
    ? 'It is blacked out as before; when that ends, the lights repeat what they showed last, without haze and lasers.'
    : 'The lights repeat what they showed last, without haze and lasers.',
  todo: AGAIN,
});
const AFRESH: Lost = { happened: 'What was on last cannot be read.', guestsSee: 'The show starts afresh.', todo: LOOK };
const ON_BEFORE: Lost = { happened: 'What was on last cannot be read.', guestsSee: 'What was on before it plays.', todo: LOOK };
const STORE: Lost = {
  happened: 'The store is damaged or gone.',
  guestsSee: 'What cannot be read of it comes from the copy of an earlier start, as far as there is one.',
  todo: 'Look at what is on; change the card after the event.',
};
const onlyTheFile = ({ show }: StoredShow): Lost => ({
  happened: 'What played last is lost.',
  guestsSee: `"${show.name}" of the show file plays from its beginning.`,
  todo: LOOK,
});
const showFile = (why: string, plays: boolean): Lost => ({
  happened: `${why}.`,
  guestsSee: plays ? 'What played last plays instead.' : 'There is no other show to play instead.',
  todo: 'Mend the show file, and start the node again.',
});
const newestRevision = ({ show, revision }: StoredShow): Lost => ({
  happened: `The newest revision of "${show.name}" cannot be read.`,
  guestsSee: `Revision ${revision} of it plays instead.`,
  todo: 'Look whether something is missing in it; importing it again brings that back.',
});
const OPEN_TO_OTHERS = 'where tokens and names of phones lie, and it cannot be closed: its owner has to ("chmod 700").';

const typesIn = (sources: Sources) => (id: string) => sources.first((db) => new FixtureFileTable(db).find(id));

/** @param unread where to say why it cannot be used; absent: there is nothing else to play */
function fileAt(path: string, sources: Sources, unread: string[] | undefined): ShowFile | undefined {
  try {
    return readShowFile(path, path, typesIn(sources));
  } catch (error) {
    if (!(error instanceof InputError) || unread === undefined) throw error;
    unread.push([error.message, ...error.problems.map(problemLine)].join('; '));
    return undefined;
  }
}

/** What the store has to play; undefined where it has nothing, or the file is another than before. */
function storedShow(sources: Sources, file: ShowFile | undefined, last: LastRow | undefined): StoredShow | undefined {
  const played = last === undefined ? undefined : showOf(sources, last.revision);
  if (file === undefined || (factOf(sources, STARTED_WITH) === file.key && played !== undefined))
    return playable(sources, played) ?? playable(sources, undefined);
  // The node played another one in between; this one is taken up where it was left.
  return factOf(sources, file.key) === undefined ? undefined : playable(sources, file.reading.show.id);
}

/** The newest revision that can be played, of one show or of any; failing the newest, the one of that show that played last. */
function playable(sources: Sources, id: string | undefined): StoredShow | undefined {
  const likely =
    id === undefined
      ? []
      : [sources.first((db) => new ShowTable(db).current(id)), sources.first((db) => new JournalTable(db).lastOf(id))];
  const wanted = [...likely, ...(sources.first((db) => new ShowTable(db).revisions(id)) ?? [])];
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

function settingsFrom(sources: Sources, lost: Lost[]): Settings {
  try {
    return sources.first((db) => new SettingsTable(db).read()) ?? standardSettings;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const why = error.problems.map(({ path, message }) => `${path}: ${message}`).join('; ');
    lost.push({
      happened: `The settings of this node cannot be used (${why}).`,
      guestsSee: 'The standard ones hold until others are set: lights that need others get nothing.',
      todo: 'Set its outputs again ("duskhand settings --help").',
    });
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

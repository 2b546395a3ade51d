import { randomUUID } from 'node:crypto';
import { existsSync, statSync } from 'node:fs';
import { InputError, problemLine } from '../core/errors.ts';
import { standardSettings } from '../settings/check.ts';
import type { Settings } from '../settings/settings.ts';
import { carryTypes } from '../show/carry-types.ts';
import { readShow } from '../show/read.ts';
import { asidesIn } from './copies.ts';
import { FactTable } from './facts.ts';
import { FixtureFileTable } from './fixture-files.ts';
import { isOpenToOthers, UnusableFolder } from './folder.ts';
import { type GuardMemory, guardMemoryIn } from './guard-memory.ts';
import { JournalTable, type LastRow, type Remembered } from './journal.ts';
import { hasPicture, type LastPicture, lastPictureIn, lastShowIn, type Witness } from './last-picture.ts';
import {
  allButThe,
  EVERYTHING,
  endOfStore,
  inWords,
  type Lost,
  lastState,
  newestRevision,
  onlyTheFile,
  STILL_DARK,
  STORE,
  showFile,
} from './lost.ts';
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
  /** Who holds that back from the lights. */
  readonly held?: string;
  /** What was on, of this show or of another. */
  readonly wasOn?: Remembered;
  /** What went to the wire last, where the store does not tell it any more. */
  readonly picture?: LastPicture;
  /** Number of the newest row that the journal has, or had before it was lost; 0: none. */
  readonly row: number;
  /** Of the show file that it is started with, or of the demo. */
  readonly file?: ShowFile;
  /** The store has gaps, or is gone: it must be mended before it is used. */
  readonly isDamaged: boolean;
  readonly cid: string;
  /** What guards had counted; undefined where that is not known. */
  readonly guards: GuardMemory | undefined;
  readonly settings: Settings;
  /** Whether anybody has ever set any. */
  readonly areSet: boolean;
  readonly remotes: readonly KnownRemote[];
  /** What was lost, and what to do, in plain sentences. */
  readonly said: readonly string[];
  /** What of it people must know who have a phone. */
  readonly lost: readonly Lost[];
}

/**
 * Reads what a node begins with, whatever its disk says: the show of the file that it is started with, where that is another than at the
 * start before; else the show that played last; on a node that has never had one the demo; where every show is lost what went to the wire
 * last, or nothing. The lights come first: nothing is written here but what brings an old store up to date.
 * @param file the show file that the node is started with
 * @param demo the invented show that a node plays which has never had one
 * @param isFresh it is to start the show afresh instead of going on with what was on: then that is said
 * @throws InputError where the folder is none, or for a file that cannot be played where there is nothing else to play.
 */
export function beginningOf(folder: string, file: string | undefined, demo: URL, isFresh = false): Beginning {
  if (existsSync(folder) && !statSync(folder).isDirectory())
    throw new UnusableFolder(folder, Object.assign(new Error(`${folder} is a file`), { code: 'ENOTDIR' }));
  const sources = new Sources(folder);
  try {
    return read(sources, folder, file, { demo, isFresh });
  } finally {
    sources.close();
  }
}

function read(
  sources: Sources,
  folder: string,
  path: string | undefined,
  { demo, isFresh }: { demo: URL; isFresh: boolean },
): Beginning {
  const lost: Lost[] = [];
  const said: string[] = [];
  const journal = sources.first((db) => new JournalTable(db).last());
  const hadShows = (sources.first((db) => new ShowTable(db).revisions().length) ?? 0) > 0;
  const picture = lastPictureIn(folder);
  // The store is held against what was on when it was last well: a card can lose the end of what was written without a sign.
  const kept = picture?.witness;
  const isBefore = kept !== undefined && isBehind(sources, journal, kept);
  const last = isBefore ? asRow(kept) : journal;
  const startedWith = (isBefore ? undefined : factOf(sources, STARTED_WITH)) ?? kept?.startedWith;
  const isLost = !hadShows && (sources.isDamaged || hasPicture(folder) || asidesIn(folder).length > 0);
  const isEmpty = !hadShows && !isLost;
  // A node that was ended before it could keep the show that it was first started with goes on with that.
  const firstFile = isEmpty ? firstFileIn(folder) : undefined;
  const isNew = isEmpty && firstFile === undefined;

  const named = path ?? firstFile;
  const unread: string[] = [];
  const file = named === undefined ? undefined : fileAt(named, sources, isNew ? undefined : unread);
  const asked = file !== undefined && isAsked(file, startedWith, last) ? file : undefined;
  const own = last?.show === undefined ? undefined : playable(sources, last.show);
  // What was on can be read, and its show cannot.
  const isGone = asked === undefined && own === undefined && kept !== undefined && kept.show.id === last?.show;
  const witness = isBefore || isGone ? kept : undefined;
  const found = storedShow(sources, { file, isAsked: asked !== undefined, last, own, isOnly: witness !== undefined });
  const beside =
    witness === undefined || asked !== undefined || found?.revision === witness.show.revision
      ? undefined
      : besideStore(folder, witness, sources);
  const stored = beside === undefined ? found : undefined;
  // Nothing plays in the place of what was lost that nobody has asked for: no demo, as of the README's command, and no show of another evening.
  const isAmiss =
    file !== undefined &&
    stored === undefined &&
    beside === undefined &&
    (witness === undefined ? isLost && file.reading.show.demo : asked === undefined && file.reading.show.id !== witness.show.id);
  const given = isAmiss ? undefined : (file ?? (isNew ? readShowFile(demo, 'demo', typesIn(sources)) : undefined));
  const show: StoredShow | undefined = beside ?? stored ?? (given === undefined ? undefined : { ...given.reading, revision: 0 });
  const draft = stored === undefined ? undefined : attempt(() => sources.first((db) => new ShowTable(db).open(stored.show.id)));
  const wasOn = last?.wasOn;
  const common = {
    cid: sources.first((db) => new FactTable(db).get('e131-cid')) ?? randomUUID(),
    guards: sources.first(guardMemoryIn),
    settings: settingsFrom(sources, lost),
    areSet: sources.first((db) => new SettingsTable(db).areSet()) ?? false,
    remotes: sources.first((db) => new RemoteTable(db).known()) ?? [],
    row: last?.number ?? 0,
    ...(isAmiss ? { file } : given === undefined ? {} : { file: given }),
  };

  for (const why of unread) lost.push(showFile(why, show !== undefined));
  if (stored !== undefined && draft === undefined && witness === undefined) lost.push(newestRevision(stored));
  const holds = stored === undefined ? undefined : sources.first((db) => new ShowTable(db).held(stored.show.id));
  const held = holds?.revision === stored?.revision ? holds?.who : undefined;
  if (stored !== undefined && draft !== undefined && draft.revision !== stored.revision)
    said.push(
      held === undefined
        ? `"${stored.show.name}" is unfinished: the last state of it that can be played plays.`
        : `What ${held} changed of "${stored.show.name}" is held back from the lights: it plays as it was before.`,
    );
  if (last?.isOlder && stored !== undefined) lost.push(lastState(isFresh || wasOn === undefined));
  const { isDamaged } = sources;
  if (show === undefined) lost.push(picture === undefined ? EVERYTHING : allButThe(picture));
  else if (witness !== undefined && asked === undefined) {
    if (stored === undefined || isShort(sources, journal, witness))
      lost.push(
        endOfStore(show, {
          damaged: isDamaged,
          afresh: isFresh,
          older: beside === undefined && show.revision !== witness.show.revision,
        }),
      );
  } else if (isLost) lost.push(onlyTheFile(show));
  if (isAmiss) said.push(`"${file.reading.show.name}" does not play in the place of a show that was lost.`);
  if (show !== undefined && asked !== undefined && wasOn?.state.blackout && !isFresh) said.push(STILL_DARK);
  if (existsSync(folder) && isOpenToOthers(folder)) said.push(`Others can read the data folder ${folder}, ${OPEN_TO_OTHERS}`);
  if (isDamaged && show !== undefined && witness === undefined) lost.push(STORE);
  return {
    ...common,
    isDamaged,
    said: [...sources.said, ...lost.map(inWords), ...said],
    lost,
    ...(show === undefined ? {} : { show }),
    ...((isLost || witness !== undefined) && picture !== undefined ? { picture } : {}),
    ...(draft === undefined || draft.revision === stored?.revision ? {} : { draft }),
    ...(held === undefined ? {} : { held }),
    ...(wasOn === undefined ? {} : { wasOn }),
  };
}

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

/** Whether the store ends before what the witness knows of, or has lost it. */
function isBehind(sources: Sources, journal: LastRow | undefined, witness: Witness): boolean {
  if (isShort(sources, journal, witness)) return true;
  // Its last command was on its way to the disk when the node ended.
  return journal?.number === witness.row && (journal.wasOn?.state.number ?? 0) < witness.state.number;
}

const isShort = (sources: Sources, journal: LastRow | undefined, { row, show }: Witness): boolean =>
  (journal?.number ?? 0) < row || showOf(sources, show.revision) !== show.id;

const asRow = ({ show, row, at, wall, state }: Witness): LastRow => ({
  number: row,
  revision: show.revision,
  show: show.id,
  wasOn: { at, wall, revision: show.revision, show: show.id, state },
  isOlder: false,
});

/** Whether a file says another thing than at the start before. A demo that only came with another version of this program does not. */
function isAsked({ key, origin, reading }: ShowFile, startedWith: string | undefined, last: LastRow | undefined): boolean {
  if (key === startedWith) return false;
  const isOnlyNewer = startedWith?.startsWith(`show-file ${origin} `) && reading.show.demo;
  return !(isOnlyNewer && last?.show !== undefined && last.show !== reading.show.id);
}

/** The show that the witness speaks of, from the file beside it: revision 0, for the store has it no more. Undefined where it cannot be played. */
function besideStore(folder: string, witness: Witness, sources: Sources): StoredShow | undefined {
  const json = lastShowIn(folder, witness);
  return json === undefined ? undefined : attempt(() => ({ ...readShow(carryTypes(json, typesIn(sources))), revision: 0 }));
}

interface Wanted {
  readonly file: ShowFile | undefined;
  /** The file is another than at the start before. */
  readonly isAsked: boolean;
  readonly last: LastRow | undefined;
  /** Of the show that played last. */
  readonly own: StoredShow | undefined;
  /** No other may play in the place of the one that played last. */
  readonly isOnly: boolean;
}

/** What the store has to play; undefined where it has nothing, or the file is another than before. */
function storedShow(sources: Sources, { file, isAsked, last, own, isOnly }: Wanted): StoredShow | undefined {
  if (file === undefined || (!isAsked && last?.show !== undefined))
    return own ?? (isOnly ? undefined : playable(sources, undefined));
  // The node played another one in between; this one is taken up where it was left.
  return factOf(sources, file.key) === undefined ? undefined : playable(sources, file.reading.show.id);
}

/** The newest revision that can be played, of one show or of any; failing the newest, the one of that show that played last. */
function playable(sources: Sources, id: string | undefined): StoredShow | undefined {
  const likely =
    id === undefined
      ? []
      : [
          // What was held back from the lights is not shown by a power cut.
          sources.first((db) => new ShowTable(db).held(id)?.revision),
          sources.first((db) => new ShowTable(db).current(id)),
          sources.first((db) => new JournalTable(db).lastOf(id)),
        ];
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

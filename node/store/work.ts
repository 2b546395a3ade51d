import { InputError } from '../core/errors.ts';
import type { HeldBack } from '../core/held-back.ts';
import type { Role } from '../core/roles.ts';
import type { Millis } from '../core/units.ts';
import type { FixtureType } from '../rig/fixture-type.ts';
import type { SlotImage } from '../rig/gdtf/images.ts';
import type { Settings } from '../settings/settings.ts';
import { carryTypes } from '../show/carry-types.ts';
import type { Show } from '../show/document.ts';
import { keepCopy } from './copies.ts';
import type { Db } from './database.ts';
import type { Editor, KeptEdit } from './edits.ts';
import { FixtureFileTable } from './fixture-files.ts';
import { type GuardMemory, keepGuardMemory } from './guard-memory.ts';
import { HeldBackTable } from './held-back.ts';
import { type JournalRow, JournalTable } from './journal.ts';
import { keepLastShow, keepPicture, type LastPicture, type LastShow } from './last-picture.ts';
import { RemoteTable } from './remotes.ts';
import { SettingsTable } from './settings.ts';
import { demosIn, Shelf } from './shelf.ts';
import { forgetFirstFile, keepStart, type Start } from './show-files.ts';
import { ShowTable } from './shows.ts';

/** Everything that a running node asks of its store, by name. It is done in the store's own thread, one thing after the other. */
export function workOf(db: Db, folder: string) {
  const shows = new ShowTable(db);
  const shelf = new Shelf(db, shows);
  const journal = new JournalTable(db);
  const remotes = new RemoteTable(db);
  const types = new FixtureFileTable(db);
  const settings = new SettingsTable(db);
  const heldBack = new HeldBackTable(db);
  return {
    keepStart: (start: Start, now: Millis) => {
      const revisions = keepStart(db, start, now);
      forgetFirstFile(folder);
      return revisions;
    },
    keepGuardMemory: (kept: GuardMemory) => keepGuardMemory(db, kept),
    keepHeldBack: (row: HeldBack) => heldBack.keep(row),
    heldBackAfter: (since: Millis) => heldBack.after(since),
    keepState: (row: JournalRow) => journal.write(row),
    keepShow: (show: Show, who: string, now: Millis) => shows.keep(show, who, now),
    keepEdit: (edit: KeptEdit, now: Millis) => shows.edits.keep(edit, now),
    madeAs: (show: string, editId: string) => shows.edits.madeAs(show, editId),
    lastChange: (show: string, kind: string, id: string, field: string | undefined) =>
      shows.edits.lastChange(show, kind, id, field),
    stepsOf: (show: string, editor: number) => shows.edits.stepsOf(show, editor),
    history: (show: string, before: number, most: number) => shows.edits.history(show, before, most),
    openRevision: (show: string, revision: number) => {
      if (shows.showOf(revision) !== show) throw new InputError(`Revision ${revision} is none of this show`);
      return shows.draft(revision).show;
    },
    openShow: (id: string) => shows.open(id)?.show,
    showIds: () => shows.ids(),
    shelf: () => shelf.rows(),
    demos: (demos: string) => demosIn(demos).map(({ file, name, notes }) => ({ file, name, notes })),
    openedShow: (id: string) => shelf.opened(id),
    addShow: (show: Show, who: string, now: Millis) => named(shelf.add(show, who, now)),
    addEmptyShow: (name: string, who: string, now: Millis) => named(shelf.addEmpty(name, who, now)),
    addDemo: (demos: string, file: string, who: string, now: Millis) => {
      const demo = demosIn(demos).find((one) => one.file === file);
      if (demo === undefined) throw new InputError(`There is no demo show "${file}"`);
      return named(shelf.add(demo.show, who, now));
    },
    copyShow: (id: string, name: string, who: string, now: Millis) => named(shelf.copy(id, name, who, now)),
    renameShow: (id: string, names: { readonly was: string; readonly now: string }, who: Editor, now: Millis) =>
      shelf.rename(id, names, who, now),
    binShow: (id: string, who: string, now: Millis) => shelf.bin(id, who, now),
    releaseShow: (id: string) => shows.release(id),
    unbinShow: (id: string) => shelf.unbin(id),
    addRemote: (name: string, role: Role, now: Millis) => remotes.add(name, role, now),
    revokeRemote: (id: number, now: Millis) => remotes.revoke(id, now),
    remoteSeen: (id: number, now: Millis) => remotes.seen(id, now),
    /** `json` is of a type that the reader has made. @returns the id under which it is found. */
    keepType: (bytes: Uint8Array, name: string, json: string, now: Millis, images: readonly SlotImage[]) =>
      types.keep(Buffer.from(bytes), name, JSON.parse(json) as FixtureType, now, images).id,
    listTypes: () => types.list(),
    /** Those imported types of these ids that there are. */
    findTypes: (ids: readonly string[]) => ids.flatMap((id) => types.find(id) ?? []),
    /** The file of an imported type; undefined where there is none. */
    typeFile: (id: string) => types.fileOf(id)?.bytes,
    /** `json` is what the reader makes of its file now. @returns whether that is another type */
    renewType: (id: string, json: string, now: Millis, images: readonly SlotImage[]) =>
      types.renew(id, JSON.parse(json) as FixtureType, now, images),
    /** The picture of a wheel's slot, a PNG; undefined where there is none. */
    slotImage: (id: string, wheel: string, slot: number) => types.imageOf(id, wheel, slot),
    /** A document with the imported types that it names. */
    carryTypes: (document: unknown) => carryTypes(document, types.find.bind(types)),
    keepSettings: (kept: Settings) => settings.write(kept),
    /** A copy of the whole store beside it, and the one before that. */
    keepCopy: () => keepCopy(db, folder),
    keepPicture: (picture: LastPicture) => keepPicture(folder, picture),
    keepLastShow: (show: LastShow) => keepLastShow(folder, show),
  };
}

const named = ({ id, name }: Show): { readonly id: string; readonly name: string } => ({ id, name });

/** What the store's thread is given. */
export interface StoreGiven {
  readonly folder: string;
  /** It has been seen already that the store must be mended before it is used. */
  readonly isDamaged: boolean;
}

export type Work = ReturnType<typeof workOf>;
export type Asked = {
  [Name in keyof Work]: { readonly id: number; readonly name: Name; readonly args: Parameters<Work[Name]> };
}[keyof Work];
/** What comes back: the result, or what went wrong, by name and code; between them what is to be said of the store. */
export type Answered =
  | { readonly said: string }
  | { readonly id: number; readonly result: unknown }
  | {
      readonly id: number;
      readonly error: { readonly name: string; readonly message: string; readonly code?: string; readonly problems?: unknown };
    };

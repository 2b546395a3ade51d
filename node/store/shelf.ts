import { readdirSync } from 'node:fs';
import { InputError } from '../core/errors.ts';
import type { Millis } from '../core/units.ts';
import type { AskedChange } from '../show/change.ts';
import type { Show } from '../show/document.ts';
import { applyEdit } from '../show/edit.ts';
import { inWords } from '../show/edit-words.ts';
import { emptyShow, isEmpty } from '../show/empty.ts';
import { faultsOf } from '../show/faults.ts';
import { newId } from '../show/new-id.ts';
import { readDraft } from '../show/read.ts';
import type { DemoRow, ShelfRow } from '../show/shelf-row.ts';
import type { Db } from './database.ts';
import type { Editor } from './edits.ts';
import { JournalTable } from './journal.ts';
import { showFileJson } from './show-files.ts';
import type { ShowTable, StoredShow } from './shows.ts';

/** What a show is opened with: what plays of it, and its newest revision where that is unfinished. */
export interface Opened {
  readonly playable: StoredShow;
  readonly draft: StoredShow;
  /** What was edited last is held back from the lights, by whom. */
  readonly held?: string;
}

type Head = Pick<ShelfRow, 'name' | 'demo' | 'isEmpty' | 'trouble'>;

/** All shows of the store: what is on its shelf and what is in the bin. Nothing here ever takes a revision away. */
export class Shelf {
  readonly #db: Db;
  readonly #shows: ShowTable;
  /** What a revision is called. A revision never changes. */
  readonly #heads = new Map<number, Head>();

  constructor(db: Db, shows: ShowTable) {
    this.#db = db;
    this.#shows = shows;
  }

  /** Those that were changed last come first. */
  rows(): ShelfRow[] {
    const rows = this.#db
      .prepare(
        `SELECT show.id, current, binned_at AS binnedAt, binned_by AS binnedBy, made_at AS at, origin AS who, what
         FROM show JOIN revision ON revision.number = show.current ORDER BY made_at DESC, show.id`,
      )
      .all() as (Pick<ShelfRow, 'id' | 'at' | 'who' | 'what'> & {
      current: number;
      binnedAt: number | null;
      binnedBy: string | null;
    })[];
    return rows.map(({ current, binnedAt, binnedBy, ...row }) => ({
      ...row,
      ...this.#head(current, row.id),
      ...(binnedAt === null ? {} : { binned: { at: binnedAt, who: binnedBy ?? '' } }),
    }));
  }

  /**
   * Keeps a document as a show of its own, beside all others: under its own id where that is free, else under one after its name. What is there
   * already, word for word, stays one show. Of one that cannot be played yet an empty state is kept below it, so that it can be opened and finished.
   */
  add(document: Show, who: string, now: Millis): Show {
    return this.#db.transaction(() => {
      const taken = new Set(this.#shows.ids());
      if (this.#shows.has(document)) return this.#shows.keep(document, who, now).show;
      const show = taken.has(document.id) ? { ...document, id: newId(document.name, taken) } : document;
      if (faultsOf(show, 1).length > 0) this.#shows.keep(emptyShow(show.id, show.name), who, now);
      this.#shows.keep(show, who, now);
      return show;
    })();
  }

  /** A new show with nothing in it. */
  addEmpty(name: string, who: string, now: Millis): Show {
    return this.add(emptyShow(newId(name, new Set(this.#shows.ids())), name), who, now);
  }

  /**
   * Another show like one, and the last state of that which can be played below it.
   * @throws InputError where there is none, or it cannot be read.
   */
  copy(id: string, name: string, who: string, now: Millis): Show {
    return this.#db.transaction(() => {
      const { playable, draft } = this.opened(id);
      const own = { id: newId(name, new Set(this.#shows.ids())), name };
      this.#shows.keep({ ...playable.show, ...own }, who, now);
      this.#shows.keep({ ...draft.show, ...own }, who, now);
      return { ...draft.show, ...own };
    })();
  }

  /**
   * What a show is opened with.
   * @throws InputError where there is none, or nothing of it can be played.
   */
  opened(id: string): Opened {
    const draft = this.#shows.open(id);
    if (draft === undefined) throw this.#unknown(id);
    const held = this.#shows.held(id);
    const kept = held === undefined ? undefined : this.#attempt(held.revision);
    if (held !== undefined && kept !== undefined) return { playable: kept, draft, held: held.who };
    if (faultsOf(draft.show, 1).length === 0) return { playable: draft, draft };
    const last = new JournalTable(this.#db).lastOf(id);
    for (const number of [...(last === undefined ? [] : [last]), ...this.#shows.revisions(id)].slice(0, MOST_TRIED)) {
      const playable = this.#attempt(number);
      if (playable !== undefined) return { playable, draft };
    }
    throw new InputError(`Nothing of "${draft.show.name}" can be played`, faultsOf(draft.show));
  }

  /**
   * Calls a show otherwise, as an edit of its history.
   * @throws InputError where somebody has called it something else meanwhile.
   */
  rename(id: string, { was, now: name }: { readonly was: string; readonly now: string }, who: Editor, now: Millis): void {
    const draft = this.#shows.open(id);
    if (draft === undefined) throw this.#unknown(id);
    const asked: AskedChange = { do: 'set', kind: 'show', id, field: 'name', was, now: name };
    const done = applyEdit(draft.show, [asked]);
    if ('clashes' in done) throw new InputError(`It is called "${draft.show.name}" meanwhile: somebody else has changed it`);
    const { show, changes, inverse } = done;
    if (changes.length === 0) return;
    const { revision: parent } = draft;
    const how = { why: 'edit', undoes: [], editId: `name-${parent}-${now}`, what: inWords(changes, show) } as const;
    this.#shows.edits.keep({ ...how, show, parent, who, changes, inverse }, now);
  }

  /** @throws InputError where there is none. */
  bin(id: string, who: string, now: Millis): void {
    const { changes } = this.#db
      .prepare('UPDATE show SET binned_at = coalesce(binned_at, ?), binned_by = coalesce(binned_by, ?) WHERE id = ?')
      .run(Math.round(now), who, id);
    if (changes === 0) throw this.#unknown(id);
  }

  /** @throws InputError where there is none. */
  unbin(id: string): void {
    const { changes } = this.#db.prepare('UPDATE show SET binned_at = NULL, binned_by = NULL WHERE id = ?').run(id);
    if (changes === 0) throw this.#unknown(id);
  }

  #head(revision: number, id: string): Head {
    const known = this.#heads.get(revision);
    if (known !== undefined) return known;
    try {
      const { name, demo, fixtures } = this.#shows.draft(revision).show;
      const head = { name, demo, isEmpty: isEmpty({ fixtures }) };
      this.#heads.set(revision, head);
      return head;
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      return { name: id, demo: false, isEmpty: false, trouble: error.message };
    }
  }

  #attempt(revision: number): StoredShow | undefined {
    try {
      return this.#shows.read(revision);
    } catch (error) {
      if (error instanceof InputError) return undefined;
      throw error;
    }
  }

  #unknown(id: string): InputError {
    return new InputError(`There is no show "${id}" any more; there is ${this.#shows.ids().join(', ') || 'none'}`);
  }
}

/** Revisions that are tried before it is given up. */
const MOST_TRIED = 100;

/** The shows that come with the program. One that cannot be read is left out: nobody here can mend it. */
export function demosIn(folder: string): (DemoRow & { readonly show: Show })[] {
  return readdirSync(folder)
    .filter((file) => file.endsWith('.json'))
    .sort()
    .flatMap((file) => {
      try {
        const { show } = readDraft(showFileJson(`${folder}/${file}`, () => undefined));
        return [{ file, name: show.name, notes: show.notes, show }];
      } catch (error) {
        if (error instanceof InputError) return [];
        throw error;
      }
    });
}

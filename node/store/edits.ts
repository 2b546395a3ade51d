import type { Millis } from '../core/units.ts';
import type { Change } from '../show/change.ts';
import { SHOW_VERSION, type Show } from '../show/document.ts';
import type { HistoryRow, Why } from '../show/history.ts';
import type { Db } from './database.ts';
import { redoable, type Step, type StepRow, undoable } from './steps.ts';
import type { TypeContents } from './type-contents.ts';

/** After so many edits a whole document is kept again, so that a revision is never far from one. */
const WHOLE_EVERY = 50;

/** Revisions that are looked at for what can be taken back: more than an evening of edits. */
const LOOKED_AT = 2000;

/** Who edits: a paired phone by its id, or 0 for the command line. */
export interface Editor {
  readonly id: number;
  readonly name: string;
}

/** An accepted edit, as it goes into the history. */
export interface KeptEdit {
  readonly show: Show;
  /** The revision that it was applied to. */
  readonly parent: number;
  /** By whom it was numbered: the same again is the same revision. */
  readonly editId: string;
  readonly who: Editor;
  readonly why: Why;
  /** Revisions that it takes back. */
  readonly undoes: readonly number[];
  /** Edits of one pull, or of one stretch of typing, are one step. */
  readonly gesture?: string | undefined;
  /** In plain words: `colour of Dinner`. */
  readonly what: string;
  readonly changes: readonly Change[];
  readonly inverse: readonly Change[];
  /** It is held back from the lights: the revision that plays meanwhile. */
  readonly held?: number | undefined;
}

/** Who changed a thing last, and what in. */
export interface LastChange {
  readonly revision: number;
  readonly who: string;
}

/** Edits of shows: of each its changes and the way back, so that the history grows by the edit and not by the show. */
export class EditTable {
  readonly #db: Db;
  readonly #types: TypeContents;

  constructor(db: Db, types: TypeContents) {
    this.#db = db;
    this.#types = types;
  }

  /** The revision of an edit that was made already, and whose it is. */
  madeAs(show: string, editId: string): { readonly revision: number; readonly editor: number } | undefined {
    const row = this.#db
      .prepare('SELECT number AS revision, coalesce(editor, 0) AS editor FROM revision WHERE show_id = ? AND edit_id = ?')
      .get(show, editId);
    return row as { revision: number; editor: number } | undefined;
  }

  /** @returns its revision, from now on the current one of its show. */
  keep(edit: KeptEdit, now: Millis): number {
    const { show, parent, editId, changes } = edit;
    return this.#db.transaction(() => {
      const made = this.madeAs(show.id, editId);
      if (made !== undefined) return made.revision;
      const document = this.#needsWhole(parent) ? JSON.stringify(show) : '';
      const { lastInsertRowid } = this.#db
        .prepare(
          `INSERT INTO revision (show_id, document, made_at, origin, editor, parent, why, undoes, gesture, what, edit_id, changes, inverse)
           VALUES ($show, $document, $at, $name, $id, $parent, $why, $undoes, $gesture, $what, $editId, $changes, $inverse)`,
        )
        .run({
          ...{ show: show.id, document, at: Math.round(now), ...edit.who, parent, why: edit.why, what: edit.what, editId },
          gesture: edit.gesture ?? null,
          undoes: JSON.stringify(edit.undoes),
          changes: JSON.stringify(changes),
          inverse: JSON.stringify(edit.inverse),
        });
      const revision = Number(lastInsertRowid);
      // Types stand with whoever changed lamps last, and with whole documents.
      if (document !== '' || changes.some(({ kind }) => kind === 'fixture' || kind === 'fixtureType'))
        this.#types.keep(revision, show);
      this.#db.prepare('UPDATE show SET current = ? WHERE id = ?').run(revision, show.id);
      if (edit.held !== undefined)
        this.#db
          .prepare('UPDATE show SET held = ?, held_by = ? WHERE id = ? AND held IS NULL')
          .run(edit.held, edit.who.name, show.id);
      return revision;
    })();
  }

  /** The revision with a document of its own that a revision goes back to, and the edits from there on. */
  since(revision: number): { readonly whole: number; readonly edits: readonly (readonly Change[])[] } {
    const edits: (readonly Change[])[] = [];
    for (let number = revision; ; ) {
      const row = this.#row(number);
      if (row.document !== '' || row.parent === null) return { whole: number, edits: edits.reverse() };
      edits.push(JSON.parse(row.changes ?? '[]') as Change[]);
      number = row.parent;
    }
  }

  /** Who changed a thing (or a field of it) since a revision; undefined where nobody has. */
  lastChange(show: string, kind: string, id: string, field: string | undefined): LastChange | undefined {
    const rows = this.#db
      .prepare(
        'SELECT number AS revision, origin AS who, changes FROM revision WHERE show_id = ? AND changes IS NOT NULL ORDER BY number DESC LIMIT 200',
      )
      .all(show) as { revision: number; who: string; changes: string }[];
    const found = rows.find(({ changes }) =>
      (JSON.parse(changes) as Change[]).some(
        (one) => one.kind === kind && one.id === id && (one.do !== 'set' || field === undefined || one.field === field),
      ),
    );
    return found === undefined ? undefined : { revision: found.revision, who: found.who };
  }

  /** What a person may take back of a show, and what bring back again. */
  stepsOf(show: string, editor: number): { readonly undo?: Step; readonly redo?: Step } {
    const rows = this.#steps(show);
    const [undo, redo] = [undoable(rows, editor), redoable(rows, editor)];
    return { ...(undo === undefined ? {} : { undo }), ...(redo === undefined ? {} : { redo }) };
  }

  /** The newest revisions of a show before another one, the newest first; of one pull or stretch of typing its last alone. */
  history(show: string, before: number, most: number): HistoryRow[] {
    return this.#db
      .prepare(
        `SELECT number AS revision, made_at AS at, origin AS who, what, why FROM revision AS one
         WHERE show_id = ? AND number < ? AND NOT EXISTS (
           SELECT 1 FROM revision AS next
           WHERE next.number = (SELECT min(number) FROM revision WHERE show_id = one.show_id AND number > one.number)
             AND next.gesture = one.gesture AND next.editor = one.editor AND next.why = 'edit' AND one.why = 'edit')
         ORDER BY number DESC LIMIT ?`,
      )
      .all(show, before, most) as HistoryRow[];
  }

  #steps(show: string): StepRow[] {
    const rows = this.#db
      .prepare(
        'SELECT number, editor, why, undoes, gesture, what, changes FROM revision WHERE show_id = ? ORDER BY number DESC LIMIT ?',
      )
      .all(show, LOOKED_AT) as (Omit<StepRow, 'undoes' | 'changes'> & { undoes: string | null; changes: string | null })[];
    return rows.map(({ undoes, changes, ...row }) => ({
      ...row,
      undoes: JSON.parse(undoes ?? '[]') as number[],
      changes: JSON.parse(changes ?? '[]') as Change[],
    }));
  }

  /** Whether the next edit must keep a whole document: after many edits, and where the last one is of an older version than the edit. */
  #needsWhole(parent: number): boolean {
    const { whole, edits } = this.since(parent);
    const { version } = this.#db
      .prepare("SELECT json_extract(document, '$.version') AS version FROM revision WHERE number = ?")
      .get(whole) as { version: number };
    return version !== SHOW_VERSION || edits.length + 1 >= WHOLE_EVERY;
  }

  #row(number: number): { document: string; parent: number | null; changes: string | null } {
    return this.#db.prepare('SELECT document, parent, changes FROM revision WHERE number = ?').get(number) as {
      document: string;
      parent: number | null;
      changes: string | null;
    };
  }
}

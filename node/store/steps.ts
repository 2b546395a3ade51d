import { type Change, invert } from '../show/change.ts';
import type { Why } from '../show/history.ts';

/** A revision as far as taking back is concerned. */
export interface StepRow {
  readonly number: number;
  /** Null: a whole document came from elsewhere, or it is of a time when that was not written down. */
  readonly editor: number | null;
  readonly why: Why;
  /** Revisions that this one takes back. */
  readonly undoes: readonly number[];
  readonly gesture: string | null;
  readonly what: string;
  readonly changes: readonly Change[];
}

/** What taking back, or bringing back again, comes to. */
export interface Step {
  /** The revisions that it takes back, newest first. */
  readonly undoes: readonly number[];
  /** In plain words: `colour of Dinner`. */
  readonly what: string;
  readonly changes: readonly Change[];
}

/**
 * What a person may take back: the newest edit of theirs that stands, with all of the same pull or stretch of typing; never another person's.
 * A document that came as a whole is a wall: nothing is taken back across it.
 * @param rows the history, newest first
 */
export function undoable(rows: readonly StepRow[], editor: number): Step | undefined {
  const { own, since } = standing(rows, editor);
  const [newest, ...others] = own.filter(({ why }) => why === 'edit');
  if (newest === undefined) return undefined;
  const step = [newest];
  for (const row of others) {
    // What somebody else did to the same fields in between parts it: their change is not to be gone back behind.
    if (newest.gesture === null || row.gesture !== newest.gesture || isParted(row, newest, since)) break;
    step.push(row);
  }
  return asStep(step, newest.what);
}

/** What a person may bring back again: what they took back last, unless they have made an edit of their own since. */
export function redoable(rows: readonly StepRow[], editor: number): Step | undefined {
  const { own } = standing(rows, editor);
  const newest = own.find(({ why }) => why !== 'redo');
  return newest?.why === 'undo' ? asStep([newest], newest.what) : undefined;
}

const asStep = (rows: readonly StepRow[], what: string): Step => ({
  undoes: rows.map(({ number }) => number),
  what,
  changes: rows.flatMap(({ changes }) => invert(changes)),
});

/** A person's revisions that nothing has taken back, as far as a wall, and those of others. */
function standing(rows: readonly StepRow[], editor: number) {
  const taken = new Set<number>();
  const own: StepRow[] = [];
  const since: StepRow[] = [];
  for (const row of rows) {
    if (row.editor === null) break;
    if (taken.has(row.number)) continue;
    for (const one of row.undoes) taken.add(one);
    (row.editor === editor ? own : since).push(row);
  }
  return { own, since };
}

/** Whether somebody else has been at the same fields between an edit and the newest of its pull. */
function isParted({ number, changes }: StepRow, newest: StepRow, others: readonly StepRow[]): boolean {
  const keys = new Set(changes.map(keyOf));
  const between = others.filter((other) => other.number > number && other.number < newest.number);
  return between.some((other) => other.changes.some((one) => keys.has(keyOf(one))));
}

const keyOf = (change: Change): string => `${change.kind} ${change.id} ${change.do === 'set' ? change.field : ''}`;

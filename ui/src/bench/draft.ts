import { signal } from '@preact/signals';
import type { BenchSteps, Edited } from '../../../node/api/edit-contract.ts';
import type { AskedChange } from '../../../node/show/change.ts';
import type { Show } from '../../../node/show/document.ts';
import { applyEdit } from '../../../node/show/edit.ts';
import type { Fault } from '../../../node/show/places.ts';
import { getDraft, getHistory, getSteps } from '../api.ts';
import { connection } from '../connection.ts';

/** The show as the node has it, with what keeps it from being played. Only the node changes it; what this page asks for comes back as an edit. */
interface Draft {
  readonly show: Show;
  readonly revision: number;
  readonly faults: readonly Fault[];
  /** Who holds back from the lights what was changed last. */
  readonly held?: string;
}

export const draft = signal<Draft | undefined>(undefined);
/** Why there is none. */
export const trouble = signal<string | undefined>(undefined);
/** What this person can take back and bring back, in words. */
export const steps = signal<BenchSteps>({});
/** The last edit of somebody else, for a line that says so. */
export const othersEdit = signal<Edited | undefined>(undefined);

/** That what was held back from the lights does not wait any more, for another brought the show as a whole; in a sentence. */
export const overtaken = signal<string | undefined>(undefined);

/** Reads the draft anew: at first, after the line was lost, and where an edit was missed. */
export async function load(): Promise<void> {
  try {
    const read = await getDraft();
    const known = draft.peek();
    // What came on its own while this was on its way may be newer.
    if (known === undefined || known.show.id !== read.show.id || read.revision >= known.revision) draft.value = read;
    trouble.value = undefined;
    if (read.held !== undefined || known?.held === undefined || known.show.id !== read.show.id) overtaken.value = undefined;
    else if (read.revision > known.revision) await noteWhole(read.revision, known.held);
    await loadSteps();
  } catch (error) {
    trouble.value = error instanceof Error ? error.message : String(error);
  }
}

/** A revision that says of no change what it was is a whole show that came from elsewhere. */
async function noteWhole(revision: number, who: string): Promise<void> {
  const [newest] = await getHistory();
  if (newest?.revision === revision && newest.what === '')
    overtaken.value = `The whole show was imported and plays. What ${who} changed and held back is in “What was changed”, and comes back from there.`;
}

async function loadSteps(): Promise<void> {
  steps.value = await getSteps();
}

/** Goes along with every edit. @returns what ends it */
export function follow(me: string | undefined): () => void {
  const others = connection.onShelf(() => void load());
  const edits = connection.onEdited((edited) => {
    const before = draft.peek();
    if (before === undefined) return;
    if (edited.who !== me) othersEdit.value = edited;
    // One that was missed cannot be made up for: the whole is read again.
    const done = edited.from === before.revision ? applyEdit(before.show, edited.changes as AskedChange[]) : undefined;
    if (done === undefined || 'clashes' in done) return void load();
    const { revision, faults, held } = edited;
    draft.value = { show: done.show, revision, faults, ...(held === undefined ? {} : { held }) };
    void loadSteps().catch(() => undefined);
  });
  return () => {
    others();
    edits();
  };
}

import { signal } from '@preact/signals';
import type { NewShowRequest, Opening, ShelfList } from '../../../../node/api/shelf-contract.ts';
import { binShow, bringFile, getOpening, getShelf, makeShow, openShow, Refused, renameShow, unbinShow } from '../../api.ts';
import { connection } from '../../connection.ts';

/** The shows of the node, as it told them last. */
export const shelf = signal<ShelfList | undefined>(undefined);
/** What did not go as asked: one sentence, and of a file the places. */
export const refused = signal<{ readonly text: string; readonly places: readonly string[] } | undefined>(undefined);
/** What was done last, for a line that says so. */
export const said = signal('');
/** The show that is about to be opened, and what that would do. */
export const opening = signal<(Opening & { readonly id: string }) | undefined>(undefined);

/** Goes along with every change of the list. @returns what ends it */
export function followShelf(): () => void {
  void loadShelf();
  return connection.onShelf(() => void loadShelf());
}

export async function loadShelf(): Promise<void> {
  try {
    shelf.value = await getShelf();
  } catch (error) {
    refuse(error);
  }
}

/** One thing after another is asked of the node; what it refuses is said. @returns whether it was done */
async function ask(what: () => Promise<string>): Promise<boolean> {
  refused.value = undefined;
  said.value = '';
  try {
    said.value = await what();
    await loadShelf();
    return true;
  } catch (error) {
    refuse(error);
    return false;
  }
}

function refuse(error: unknown): void {
  const text = error instanceof Error ? error.message : String(error);
  const problems = error instanceof Refused ? error.problems : [];
  refused.value = { text, places: problems.map(({ path, message }) => (path === '' ? message : `${path} ${message}`)) };
}

export const make = (from: NewShowRequest): Promise<boolean> =>
  ask(async () => `“${(await makeShow(from)).name}” is there. What plays plays on.`);

export const bring = (file: File): Promise<boolean> =>
  ask(async () => {
    const { name, note = 'What plays plays on.' } = await bringFile(file);
    return `“${name}” is there. ${note}`;
  });

export const rename = (id: string, was: string, now: string): Promise<boolean> =>
  ask(async () => {
    await renameShow(id, was, now);
    return `It is called “${now}” now.`;
  });

export const bin = (id: string, name: string): Promise<boolean> =>
  ask(async () => {
    await binShow(id);
    return `“${name}” lies in the bin.`;
  });

export const bringBack = (id: string, name: string): Promise<boolean> =>
  ask(async () => {
    await unbinShow(id);
    return `“${name}” is back.`;
  });

/** Asks first what it would do to the light. */
export const look = (id: string): Promise<boolean> =>
  ask(async () => {
    opening.value = { ...(await getOpening(id)), id };
    return '';
  });

export const open = (id: string, name: string): Promise<boolean> =>
  ask(async () => {
    await openShow(id);
    opening.value = undefined;
    return `“${name}” plays now.`;
  });

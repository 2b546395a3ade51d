import type { BroughtShow } from '../store/shows.ts';
import type { Imported } from './local-contract.ts';

/** What is answered to whoever brings a show, with all that is to be said of it. @param note what became of its outputs */
export function importedFrom({ show, revision, unheld }: BroughtShow, note: string | undefined): Imported {
  const held =
    unheld === undefined
      ? undefined
      : `What ${unheld} changed and held back from the lights is not in it: it is in the history of the show, and comes back from there.`;
  const notes = [note, held].filter((one) => one !== undefined);
  return { show: show.id, name: show.name, revision, ...(notes.length === 0 ? {} : { note: notes.join(' ') }) };
}

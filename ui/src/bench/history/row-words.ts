import type { HistoryRow } from '../../../../node/show/history.ts';

const whyWords = { edit: '', undo: 'taken back: ', redo: 'brought back: ' } as const;

/** What was changed: `taken back: colour of Dinner`. */
export const rowInWords = ({ what, why }: Pick<HistoryRow, 'what' | 'why'>): string =>
  what === '' ? 'the whole show' : `${whyWords[why]}${what}`;

export const momentInWords = (at: number): string => new Date(at).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' });

import { SHOW_VERSION, type Show, showDocument } from './document.ts';

/** A show in which there is nothing yet: it can be played, and plays nothing. */
export const emptyShow = (id: string, name: string): Show =>
  showDocument.parse({ format: 'duskhand-show', version: SHOW_VERSION, id, name, theme: { name: 'No theme yet' } });

/** Whether there is nothing in a show that could give light. */
export const isEmpty = ({ fixtures }: { readonly fixtures: readonly unknown[] }): boolean => fixtures.length === 0;

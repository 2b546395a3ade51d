import { signal } from '@preact/signals';

/** A laptop or a tablet on its side: room for picture and controls next to each other. */
const query = matchMedia('(min-width: 900px)');

export const wide = signal(query.matches);
query.addEventListener('change', () => {
  wide.value = query.matches;
});

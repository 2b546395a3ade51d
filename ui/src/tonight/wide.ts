import { signal } from '@preact/signals';

/** A laptop, or a tablet or phone on its side: picture and controls next to each other. The style sheets say the same. */
const query = matchMedia('(min-width: 900px), (min-width: 640px) and (max-height: 500px)');

export const wide = signal(query.matches);
query.addEventListener('change', () => {
  wide.value = query.matches;
});

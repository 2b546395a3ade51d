import { type ReadonlySignal, signal } from '@preact/signals';

/** Whether a media query holds, kept up to date. The style sheet of the same screen asks it too. */
export function media(query: string): ReadonlySignal<boolean> {
  const list = matchMedia(query);
  const holds = signal(list.matches);
  list.addEventListener('change', () => {
    holds.value = list.matches;
  });
  return holds;
}

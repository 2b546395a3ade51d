import { useComputed } from '@preact/signals';
import { sendingWords } from './rates.ts';
import { samples } from './watching.ts';

/** How many packets a second leave for a universe. Drawn anew only when the words change. */
export function Rate({ universe }: { readonly universe: number }) {
  return <span>{useComputed(() => sendingWords(samples.value, universe))}</span>;
}

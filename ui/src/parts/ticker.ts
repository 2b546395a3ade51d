import { signal } from '@preact/signals';

/** Half seconds, for what counts down: whoever reads it is drawn anew. */
export const halfSeconds = signal(0);
setInterval(() => {
  halfSeconds.value++;
}, 500);

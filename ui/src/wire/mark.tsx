import type { Health } from '../parts/output-health.ts';

const marks = {
  well: { shape: 'M5 12.5l5 5L19 7', word: 'Sent' },
  care: { shape: 'M12 3a9 9 0 1 0 .01 0M12 8v5M12 16v.5', word: 'Look here' },
  waits: { shape: 'M12 5v8l5 3M12 3a9 9 0 1 0 .01 0', word: 'Waits' },
  fails: { shape: 'M12 3l9.5 17h-19zM12 10v4M12 17v.5', word: 'Trouble' },
} as const;

/** A state as a shape with its word beside it: never colour alone. */
export function StateMark({ state }: { readonly state: Health['state'] }) {
  const { shape, word } = marks[state];
  return (
    <span class={`wire-mark ${state}`}>
      <svg viewBox="0 0 24 24" width="20" height="20" aria-hidden="true">
        <path d={shape} fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round" />
      </svg>
      {word}
    </span>
  );
}

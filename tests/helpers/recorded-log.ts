import type { Log } from '../../node/core/ports.ts';

/** A log that keeps its lines; of what is counted, every one. */
export function recordedLog(): Log & { readonly lines: string[] } {
  const lines: string[] = [];
  const line = (text: string): void => void lines.push(text);
  return Object.assign(line, { error: line, info: line, once: (_kind: string, text: string) => line(text), lines });
}

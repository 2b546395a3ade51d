import type { Playing, ShowSummary, State } from '../../node/api/contract.ts';

/** An instant as the reader's clock shows it. Phones and nodes may be minutes apart; the node's instant is what is said. */
export const timeOfDay = (instant: number): string =>
  new Date(instant).toLocaleTimeString([], { hour: 'numeric', minute: '2-digit' });

export function countdown(seconds: number): string {
  return seconds < 100 ? `${seconds} s` : `${Math.floor(seconds / 60)} min ${seconds % 60} s`;
}

/** How long ago, in the coarsest unit that is still of use. */
export function ago(millis: number): string {
  const minutes = Math.round(millis / 60_000);
  if (minutes < 1) return 'just now';
  if (minutes < 60) return `${minutes} min ago`;
  const hours = Math.round(minutes / 60);
  return hours < 48 ? `${hours} h ago` : `${Math.round(hours / 24)} days ago`;
}

/** What is on, by the names on the buttons where something was started by one, newest first. */
export function playingInWords(playing: readonly Playing[], buttons: ShowSummary['buttons']): readonly string[] {
  const names = playing
    .filter(({ state }) => state !== 'going')
    .map(({ button, name }) => buttons.find(({ id }) => id === button)?.name ?? name);
  return [...new Set(names.reverse())];
}

/** What becomes of the lights when nobody is there. */
export function watchInWords({ phase, fallback }: State['watch']): string {
  if (phase === 'free') return 'What is on may run alone.';
  const falls = fallback === 'blackout' ? 'blackout' : `“${fallback}”`;
  return `If every phone goes out of reach: ${falls}.`;
}

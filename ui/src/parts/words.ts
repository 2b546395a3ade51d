import type { Playing, ShowSummary, State } from '../../../node/api/contract.ts';

/** An instant by the wall as the reader's clock shows it. Phones and nodes may be minutes apart; the node's instant is what is said. */
export const timeOfDay = (wall: number): string => new Date(wall).toLocaleTimeString([], { hour: 'numeric', minute: '2-digit' });

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

/**
 * What guests see, by the names on the buttons where something was started by one, newest first; while fallen, only what the fallback
 * left or brought.
 */
export function playingInWords(
  { playing, watch }: Pick<State, 'playing' | 'watch'>,
  buttons: ShowSummary['buttons'],
): readonly string[] {
  if (watch.phase === 'fallen') return watch.fallback === 'blackout' ? alone(playing) : [watch.fallback];
  const names = playing
    .filter(({ state }) => state !== 'going')
    .map(({ button, name }) => buttons.find(({ id }) => id === button)?.name ?? name);
  return [...new Set(names.reverse())];
}

/** What becomes of the lights when nobody is there, as it reads after "With no phone:". */
export function watchInWords({ watch, playing }: Pick<State, 'watch' | 'playing'>): string {
  if (watch.phase === 'fallen') return 'The rest waits for “Resume”.';
  if (playing.length === 0) return 'Guests see no show light.';
  if (watch.phase === 'free') return 'What is on may run alone.';
  if (watch.fallback !== 'blackout') return `With no phone: “${watch.fallback}”.`;
  return `With no phone: ${alone(playing).length > 0 ? 'what may run alone' : 'blackout'}.`;
}

/** What comes when the countdown has run down. */
export function comingFallback({ watch, playing }: Pick<State, 'watch' | 'playing'>): string {
  if (watch.fallback !== 'blackout') return `“${watch.fallback}” comes`;
  return alone(playing).length > 0 ? 'All that needs somebody goes out' : 'Blackout';
}

/** What guests see while the fallback stands. `wallOf` tells the wall of an instant of the clock that plays. */
export function fallenInWords({ watch, playing }: Pick<State, 'watch' | 'playing'>, wallOf: (instant: number) => number): string {
  const since = watch.at === undefined ? '' : ` since ${timeOfDay(wallOf(watch.at))}`;
  if (watch.fallback !== 'blackout') return `Guests see “${watch.fallback}”${since}, and nothing that moves.`;
  const names = alone(playing).map((name) => `“${name}”`);
  return names.length > 0 ? `Guests see only ${names.join(' and ')}${since}.` : `Guests see no show light${since}.`;
}

const alone = (playing: readonly Playing[]): readonly string[] => [
  ...new Set(playing.filter(({ unattended, state }) => unattended && state !== 'going').map(({ name }) => name)),
];

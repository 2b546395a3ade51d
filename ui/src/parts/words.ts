import type { Playing, ShowSummary, State } from '../../../node/api/contract.ts';
import { listed } from '../../../node/core/words.ts';

/** A date and time, in epoch milliseconds, as the reader's clock shows it. */
export const timeOfDay = (date: number): string => new Date(date).toLocaleTimeString([], { hour: 'numeric', minute: '2-digit' });

export function countdown(seconds: number): string {
  return seconds < 100 ? `${seconds} s` : `${Math.floor(seconds / 60)} min ${seconds % 60} s`;
}

/** How long ago, in the coarsest unit that is still of use. */
export function ago(millis: number): string {
  const seconds = Math.max(0, Math.round(millis / 1000));
  if (seconds < 2) return 'just now';
  if (seconds < 90) return `${seconds} seconds ago`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 90) return `${minutes} minutes ago`;
  const hours = Math.round(minutes / 60);
  return hours < 48 ? `${hours} hours ago` : `${Math.round(hours / 24)} days ago`;
}

/** More names than this are counted: a phone has room for no more. */
const MOST_NAMED = 3;

const isSeen = ({ state }: Playing): boolean => state === 'coming' || state === 'on';

/** By the names on the buttons where something was started by one, newest first. */
function namesOf(playing: readonly Playing[], buttons: ShowSummary['buttons']): readonly string[] {
  const names = playing.map(({ button, name }) => buttons.find(({ id }) => id === button)?.name ?? name);
  return [...new Set(names.reverse())];
}

/** What comes and what is on. */
export const playingInWords = ({ playing }: Pick<State, 'playing'>, buttons: ShowSummary['buttons']): readonly string[] =>
  namesOf(playing.filter(isSeen), buttons);

/** What plays and is not seen, for something above covers it. */
export const underneathInWords = ({ playing }: Pick<State, 'playing'>, buttons: ShowSummary['buttons']): readonly string[] =>
  namesOf(
    playing.filter((one) => isSeen(one) && one.isUnderneath),
    buttons,
  );

/** What a resume would bring back. */
export function awayInWords({ playing }: Pick<State, 'playing'>, buttons: ShowSummary['buttons']): string {
  const names = namesOf(
    playing.filter(({ state }) => state === 'away'),
    buttons,
  );
  if (names.length === 0) return 'what was on';
  const named = names.slice(0, MOST_NAMED).map((name) => `“${name}”`);
  return listed(names.length > MOST_NAMED ? [...named, `${names.length - MOST_NAMED} more`] : named);
}

const runsAlone = ({ playing }: Pick<State, 'playing'>): boolean => playing.some((one) => one.unattended && isSeen(one));

/** What becomes of the lights when nobody is there. */
export function watchInWords({ watch, playing }: Pick<State, 'watch' | 'playing'>, buttons: ShowSummary['buttons']): string {
  if (watch.phase === 'fallen') return 'The rest waits for “Resume”.';
  if (playing.length === 0) return '';
  if (watch.phase === 'free') return 'What is on needs no phone.';
  if (watch.fallback !== 'blackout') return `If every phone drops: “${watch.fallback}” comes.`;
  const stays = namesOf(
    playing.filter((one) => one.unattended && isSeen(one) && !one.isUnderneath),
    buttons,
  );
  if (stays.length > 0) return `If every phone drops: ${listed(stays.slice(0, 2).map((name) => `“${name}”`))} stays.`;
  return `If every phone drops: ${runsAlone({ playing }) ? 'only what lies underneath stays' : 'blackout'}.`;
}

/**
 * The countdown to the fallback at an instant of the node's clock. When it has run down this page cannot know what became of the lights:
 * that is said, never a count below zero, until the node tells.
 */
export function warningInWords({ watch, playing }: Pick<State, 'watch' | 'playing'>, now: number) {
  const left = Math.max(0, Math.ceil(((watch.at ?? now) - now) / 1000));
  const what =
    watch.fallback !== 'blackout'
      ? `“${watch.fallback}” comes`
      : runsAlone({ playing })
        ? 'All that needs somebody goes out'
        : 'Blackout';
  return {
    isDue: left === 0,
    happened: `No phone has been heard of. ${what} ${left > 0 ? `in ${countdown(left)}` : 'now'}.`,
    guestsSee: left > 0 ? 'Until then the lights go on as they are.' : 'What guests see from here on the node has yet to say.',
  };
}

/**
 * What guests see while the fallback stands, and since when: unless something was pressed after it came.
 * @param date of an instant of the node's clock
 */
export function fallenInWords(
  state: Pick<State, 'playing' | 'watch'>,
  buttons: ShowSummary['buttons'],
  date: (instant: number) => number,
): string {
  const { at } = state.watch;
  const names = playingInWords(state, buttons).map((name) => `“${name}”`);
  const isNew = at === undefined || state.playing.some(({ startedAt }) => startedAt > at);
  const when = isNew ? '' : ` since ${timeOfDay(date(at))}`;
  return names.length > 0 ? `Guests see only ${listed(names)}${when}.` : `Guests see no show light${when}.`;
}

import type { Millis } from '../core/units.ts';
import type { ItemKey } from '../show/document.ts';
import type { Playbook } from './compile.ts';
import { isHit } from './fallback.ts';
import { choicesAt, letGo, trim } from './stack.ts';
import { type Entry, isOn, nearestBeat, type PlayState } from './state.ts';

/** Whoever makes a look does not wait for its fade: it comes and goes in this time at most. */
const FADE: Millis = 600;

/** Lays a thing over what plays, for whoever makes it. A thing that the show has not changes nothing. */
export function layOver(show: Playbook, state: PlayState, item: ItemKey, now: Millis): PlayState {
  const found = show.items.get(item);
  if (found === undefined) return state;
  const entry: Entry = {
    id: state.nextId,
    item,
    startedAt: now,
    startBeat: nearestBeat(state.tempo, now),
    rise: { from: 0, to: 1, at: now, duration: Math.min(FADE, found.fadeIn) },
    isTried: true,
    ...choicesAt(show, state, found, now),
  };
  return { ...state, entries: trim(show, [...state.entries, entry]), nextId: state.nextId + 1 };
}

/** What somebody tries goes. */
export const endTrial = (show: Playbook, state: PlayState, now: Millis): PlayState =>
  endWhere(state, now, (entry) => (entry.isTried ? Math.min(FADE, fadeOf(show, entry)) : undefined));

/** Everything goes that is there only as long as somebody holds it. */
export const letGoHeld = (show: Playbook, state: PlayState, now: Millis): PlayState =>
  endWhere(state, now, (entry) => (isHit(show, entry) ? fadeOf(show, entry) : undefined));

const fadeOf = (show: Playbook, { item }: Entry): Millis => show.items.get(item)?.fadeOut ?? 0;

/** @param fade how long an entry takes to go; undefined: it stays */
function endWhere(state: PlayState, now: Millis, fade: (entry: Entry) => Millis | undefined): PlayState {
  let ended = false;
  const entries = state.entries.map((entry) => {
    const over = isOn(entry, now) ? fade(entry) : undefined;
    if (over === undefined) return entry;
    ended = true;
    return letGo(entry, now, over);
  });
  return ended ? { ...state, entries } : state;
}

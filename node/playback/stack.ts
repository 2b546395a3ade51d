import { MOST_AT_ONCE } from '../core/limits.ts';
import type { Millis } from '../core/units.ts';
import type { ItemKey } from '../show/document.ts';
import { choicesFor } from './aims.ts';
import { add, addAll, emptySet, has, hasAll, hasAny, setOf, takeAll } from './bit-set.ts';
import type { Item, Playbook } from './compile.ts';
import { aimsOf } from './program.ts';
import { canvasFor, render } from './render.ts';
import { type Entry, hasCome, isAway, isHeld, isOn, isOver, nearestBeat, type PlayState, weightOf } from './state.ts';

/**
 * Puts an item on top. What already plays in full view is left alone, so that a second press changes nothing; `after` are the items
 * that the same press puts over it.
 */
export function start(
  show: Playbook,
  state: PlayState,
  key: ItemKey,
  button: string | undefined,
  now: Millis,
  after: readonly ItemKey[] = [],
): PlayState {
  const item = show.items.get(key);
  if (item === undefined || isInView(show, state, key, now, after)) return state;
  const entry: Entry = {
    id: state.nextId,
    item: key,
    ...(button === undefined ? {} : { button }),
    startedAt: now,
    // Steps fall on beats, whenever the thumb came down: a little early is meant for the beat to come.
    startBeat: nearestBeat(state.tempo, now),
    rise: { from: 0, to: 1, at: now, duration: item.fadeIn },
    ...choicesAt(show, state, item, now),
  };
  const timed = item.longest === undefined ? entry : letGo(entry, now + item.longest, item.fadeOut);
  // What would shine through its own successor for good is drawn once only: the old one makes room at the pace of the new.
  const entries = hidesAll(item)
    ? state.entries
    : state.entries.map((old) => (old.item === key ? letGo(old, now, item.fadeIn) : old));
  return { ...state, nextId: state.nextId + 1, entries: trim(show, [...entries, timed]) };
}

/** For heads that can look where they shall in several ways the one that takes least, from where they stand; nothing where none can. */
export function choicesAt(
  show: Playbook,
  state: PlayState,
  { program }: Item,
  now: Millis,
): { readonly choices?: NonNullable<Entry['choices']> } {
  const aims = aimsOf(program).filter(({ ways }) => ways.length > 1);
  if (aims.length === 0) return {};
  const frame = render(show, state, now, new Float64Array(show.rig.rest.length), canvasFor(show));
  return { choices: choicesFor(aims, (cell) => frame[cell] as number) };
}

/** Releases every entry of these items that is still on; they fade out from wherever they are. A given `fade` hurries those that are going. */
export function release(show: Playbook, state: PlayState, keys: ReadonlySet<ItemKey>, now: Millis, fade?: Millis): PlayState {
  const entries = state.entries.map((entry) => {
    if (!keys.has(entry.item)) return entry;
    if (isOn(entry, now)) return letGo(entry, now, fade ?? show.items.get(entry.item)?.fadeOut ?? 0);
    return fade === undefined || isOver(entry, now + fade) ? entry : letGo(entry, now, fade);
  });
  return { ...state, entries };
}

/**
 * Takes out what has faded away and what is wholly covered by settled entries above, unless it is marked to stay (once an item),
 * or a colour between goes by its level. Neither could be seen: a frame is the same before and after. What is attended removes nothing that is unattended, however wholly it
 * covers it: after a fallback that is what lights the room. The fallback's own look, and what it took away, remove nothing: they go again
 * or come back. Nor is what it took away removed by what covers it, but by the same thing pressed again: `resume` has promised it.
 */
export function settle(show: Playbook, state: PlayState, now: Millis): PlayState {
  const covered = emptySet(show.rig.rest.length);
  const coveredAlone = emptySet(show.rig.rest.length);
  const { dimmerOf, rest } = show.rig;
  /** Dimmers whose level still tells how far a colour above goes over what is below it. */
  const asked = emptySet(rest.length);
  const kept: Entry[] = [];
  for (const old of [...state.entries].reverse()) {
    const entry = unmark(old, now);
    const item = show.items.get(entry.item);
    if (item === undefined || isOver(entry, now)) continue;
    const again = kept.some((above) => above.item === entry.item && !above.isTried && isOn(above, now));
    const stays = (item.stay || isAway(entry)) && !again;
    const cover = item.unattended ? coveredAlone : covered;
    const { touches, covers } = item.program;
    if (!stays && touches.length > 0 && hasAll(cover, touches) && !hasAny(asked, touches)) continue;
    kept.unshift(entry);
    const isPassing = entry.isFallback || entry.isTried;
    const isSettled = entry.release === undefined && entry.away === undefined && !isPassing && hasCome(entry.rise, now);
    if (isSettled) {
      addAll(covered, covers);
      if (item.unattended) addAll(coveredAlone, covers);
      takeAll(asked, covers);
    }
    for (const cell of touches) {
      const dimmer = dimmerOf[cell] as number;
      if (dimmer >= 0 && !has(covered, cell)) add(asked, dimmer);
    }
  }
  const same = kept.length === state.entries.length && kept.every((entry, i) => entry === state.entries[i]);
  return same ? state : { ...state, entries: kept };
}

/** Ids of the entries of which nothing is seen, for what has come in above them covers every cell that they touch. */
export function hiddenOf(show: Playbook, { entries }: PlayState, now: Millis): ReadonlySet<number> {
  const covered = emptySet(show.rig.rest.length);
  const hidden = new Set<number>();
  for (const entry of [...entries].reverse()) {
    const program = show.items.get(entry.item)?.program;
    if (program === undefined) continue;
    if (program.touches.length > 0 && hasAll(covered, program.touches)) hidden.add(entry.id);
    if (isOn(entry, now) && !isHeld(entry) && hasCome(entry.rise, now)) addAll(covered, program.covers);
  }
  return hidden;
}

/** Takes off the marks of what has come back altogether. */
function unmark(entry: Entry, now: Millis): Entry {
  if (entry.away === undefined || entry.away.to > 0 || !hasCome(entry.away, now)) return entry;
  const { away: _, calmed: __, ...rest } = entry;
  return rest;
}

export const letGo = (entry: Entry, at: Millis, fade: Millis): Entry => ({
  ...entry,
  release: { at, fade, from: weightOf(entry, at) },
});

const hidesAll = ({ program }: Item): boolean => program.covers.length === program.touches.length;

/** On, and nothing that came later lies over any part of it but what belongs there. */
function isInView(show: Playbook, state: PlayState, key: ItemKey, now: Millis, above: readonly ItemKey[]): boolean {
  const at = state.entries.findLastIndex((entry) => entry.item === key && isOn(entry, now) && !isHeld(entry));
  const touches = show.items.get(key)?.program.touches;
  if (at < 0 || touches === undefined) return false;
  const own = setOf(show.rig.rest.length, touches);
  return state.entries.slice(at + 1).every(({ item }) => {
    const over = show.items.get(item)?.program.touches;
    return above.includes(item) || over === undefined || !hasAny(own, over);
  });
}

export function trim(show: Playbook, entries: readonly Entry[]): readonly Entry[] {
  if (entries.length <= MOST_AT_ONCE) return entries;
  const oldest = entries.slice(0, -1).findIndex(({ item }) => !(show.items.get(item)?.stay ?? false));
  return entries.filter((_, i) => i !== Math.max(0, oldest));
}

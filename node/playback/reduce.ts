import type { Command } from '../core/commands.ts';
import { type Level, type Millis, toMillis } from '../core/units.ts';
import { type ItemKey, itemKey } from '../show/document.ts';
import type { CompiledButton, CompiledShow } from './compile.ts';
import { release, settle, start } from './stack.ts';
import { beatAt, type Fade, type Fallback, fallAt, groupLevel, isFallen, levelOf, type PlayState, steady } from './state.ts';
import { isHit } from './watch.ts';

/** Fade of a master that is moved without saying how fast: long enough that a step is not seen. */
const MASTER_FADE: Millis = 100;

/** The show as it starts afresh. */
export function freshState(show: CompiledShow, now: Millis): PlayState {
  const { masters, tempo, start: first } = show.show;
  const empty: PlayState = {
    entries: [],
    nextId: 1,
    all: steady(masters.all, now),
    groups: Object.fromEntries(Object.entries(masters.groups).map(([id, level]) => [id, steady(level, now)])),
    blackout: false,
    tempo: { bpm: tempo, at: now, beat: 0, ahead: 0 },
  };
  return startAll(show, empty, first.map(itemKey), undefined, now);
}

/**
 * What plays after a command. Pure: both threads run it over the same commands with the same instants and agree.
 * A command that names something the show does not have changes nothing; whoever took it in has said so already.
 */
export function reduce(show: CompiledShow, before: PlayState, command: Command, now: Millis): PlayState {
  const state = settle(show, before, now);
  switch (command.do) {
    case 'press': {
      const found = show.buttons.get(command.button);
      if (found === undefined) return state;
      return startAll(show, release(show, state, stoppedBy(show, state, found), now), found.starts, command.button, now);
    }
    case 'release': {
      const found = show.buttons.get(command.button);
      return found === undefined ? state : release(show, state, new Set(found.starts), now);
    }
    case 'release-all': {
      const going = state.entries.filter(({ item }) => !(show.items.get(item)?.stay ?? false)).map(({ item }) => item);
      return release(show, state, new Set(going), now, command.fade === undefined ? undefined : toMillis(command.fade));
    }
    case 'blackout':
      return { ...state, blackout: command.on };
    case 'master': {
      const fade = command.fade === undefined ? MASTER_FADE : toMillis(command.fade);
      const moved = (from: Level): Fade => ({ from, to: command.level, at: now, duration: fade });
      if (command.group === undefined) return { ...state, all: moved(levelOf(state.all, now)) };
      if (!show.show.groups.some(({ id }) => id === command.group)) return state;
      return { ...state, groups: { ...state.groups, [command.group]: moved(groupLevel(state, command.group, now)) } };
    }
    case 'tempo': {
      // The beat nearest to the tap is the one that was tapped: what plays keeps its place in the bar.
      const count = beatAt(state.tempo, now);
      const beat = Math.round(count);
      return { ...state, tempo: { bpm: command.bpm, at: now, beat, ahead: count - beat } };
    }
    case 'fall-back':
      return isFallen(state) ? state : { ...state, fallback: fallAt(now, state.tempo) };
    case 'resume':
      return state.fallback === undefined || !isFallen(state)
        ? state
        : { ...state, fallback: { ...state.fallback, resumedAt: now } };
    case 'let-go': {
      const hits = state.entries.filter(({ item }) => isHit(show, item)).map(({ item }) => item);
      return release(show, state, new Set(hits), now);
    }
  }
}

/**
 * State from the journal, under a show that may have changed since: what the show no longer has is dropped.
 * It goes on in phase. Only where the clock has gone back (a board without a battery for its clock, after a power cut) no time has passed.
 */
export function adopt(show: CompiledShow, state: PlayState, savedAt: Millis, now: Millis): PlayState {
  const by = Math.min(0, now - savedAt);
  const later = (fade: Fade): Fade => ({ ...fade, at: fade.at + by });
  const groups = Object.entries(state.groups).filter(([id]) => show.show.groups.some((group) => group.id === id));
  return {
    ...state,
    entries: state.entries.flatMap(({ release: going, ...entry }) => {
      if (!show.items.has(entry.item)) return [];
      return {
        ...entry,
        startedAt: entry.startedAt + by,
        ...(going === undefined ? {} : { release: { ...going, at: going.at + by } }),
      };
    }),
    all: later(state.all),
    groups: Object.fromEntries(groups.map(([id, fade]) => [id, later(fade)])),
    tempo: { ...state.tempo, at: state.tempo.at + by },
    ...(state.fallback === undefined ? {} : { fallback: moveFallback(state.fallback, by) }),
  };
}

const moveFallback = ({ at, stands, beat, resumedAt }: Fallback, by: Millis): Fallback => ({
  at: at + by,
  stands: stands + by,
  beat,
  ...(resumedAt === undefined ? {} : { resumedAt: resumedAt + by }),
});

/** What a button lets go: what it names, and where it is to be alone, all else on its fixtures that is not marked to stay. */
function stoppedBy(show: CompiledShow, state: PlayState, { button, starts, stops }: CompiledButton): ReadonlySet<ItemKey> {
  if (!button.alone) return new Set(stops);
  const own = new Set(starts.flatMap((key) => [...(show.items.get(key)?.fixtures ?? [])]));
  const others = state.entries
    .map(({ item }) => item)
    .filter((key) => {
      const item = show.items.get(key);
      return item !== undefined && !item.stay && !starts.includes(key) && [...item.fixtures].some((id) => own.has(id));
    });
  return new Set([...stops, ...others]);
}

const startAll = (
  show: CompiledShow,
  state: PlayState,
  keys: readonly ItemKey[],
  button: string | undefined,
  now: Millis,
): PlayState => keys.reduce((after, key, i) => start(show, after, key, button, now, keys.slice(i + 1)), state);

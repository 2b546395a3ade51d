import type { Command } from '../core/commands.ts';
import { own } from '../core/own.ts';
import { CREW_LIGHT, LIGHTS_UP } from '../core/remote.ts';
import { type Level, type Millis, toMillis } from '../core/units.ts';
import type { ItemKey } from '../show/document.ts';
import { emptySet, overlaps, unite } from './bit-set.ts';
import type { PlayButton, Playbook } from './compile.ts';
import { anew, arranged, begun, fitting } from './evening.ts';
import { fallBack, isHit, resume } from './fallback.ts';
import { release, settle, start } from './stack.ts';
import { beatAt, type Entry, type Fade, groupLevel, isAway, isOn, levelOf, nearestBeat, type PlayState, steady } from './state.ts';
import { endTrial, layOver, letGoHeld } from './trial.ts';
import { undo, undoOf } from './undo.ts';

/** Fade of a master that is moved without saying how fast: long enough that a step is not seen. */
const MASTER_FADE: Millis = 100;

/** Time in which everything goes where nobody says how fast, and in which calm light comes. */
const SOFTLY: Millis = 4000;
const CALMLY: Millis = 2000;

/** The show as it starts afresh. */
export function freshState(show: Playbook, now: Millis): PlayState {
  const { masters, tempo, start: first } = show;
  const empty: PlayState = {
    number: 0,
    entries: [],
    nextId: 1,
    all: steady(masters.all, now),
    groups: Object.fromEntries(Object.entries(masters.groups).map(([id, level]) => [id, steady(level, now)])),
    blackout: false,
    tempo: { bpm: tempo, at: now, beat: 0, ahead: 0 },
    alone: false,
  };
  return startAll(show, empty, first, undefined, now);
}

/**
 * What plays after a command. Pure; the engine alone runs it. A command that names something the show does not have changes nothing;
 * whoever took it in has said so already.
 * @param number of the command; what the engine does by itself has none
 */
export function reduce(show: Playbook, before: PlayState, command: Command, now: Millis, number?: number): PlayState {
  const state = settle(show, number === undefined ? before : asked(before, command, number), now);
  const done = underCrewLight(show, carryOut(show, state, command, now), now);
  const closed = closesLasers(command) ? withoutLasers(done) : done;
  const after = lowersFlashes(command) ? withoutRaise(closed) : closed;
  const { undo: _, ...rest } = after;
  switch (command.do) {
    case 'press':
      // Somebody is there: what they press plays, and what must not run alone may run again.
      return withUndo(show, { ...rest, alone: false }, state, now, number);
    case 'moment':
      return withUndo(show, number === undefined ? rest : { ...rest, alone: false }, state, now, number);
    case 'release':
    case 'all-off':
    case 'lights-up':
      return withUndo(show, rest, state, now, number);
    case 'fall-back':
    case 'resume':
    case 'let-go':
      // What went by these must not come back by an undo.
      return rest;
    default:
      return after;
  }
}

/** Somebody needs light: neither a blackout nor a level that was pulled down keeps it from them. */
function lit(show: Playbook, state: PlayState, now: Millis): PlayState {
  const raised = (from: Level, to: Level): Fade => ({ from, to, at: now, duration: CALMLY });
  const groups = Object.keys(state.groups).map((id) => {
    const level = groupLevel(state, id, now);
    return [id, raised(level, Math.max(level, own(show.masters.groups, id) ?? 1))] as const;
  });
  return { ...state, blackout: false, all: raised(levelOf(state.all, now), 1), groups: Object.fromEntries(groups) };
}

/** While the crew works the light that they work by lies over everything, whatever is pressed, let go or taken back; and not a moment longer. */
function underCrewLight(show: Playbook, state: PlayState, now: Millis): PlayState {
  const lies = ({ item }: Entry): boolean => item === CREW_LIGHT;
  if (state.crew === undefined) return state.entries.some(lies) ? release(show, state, new Set([CREW_LIGHT]), now) : state;
  const on = state.entries.some((entry) => lies(entry) && isOn(entry, now))
    ? state
    : start(show, state, CREW_LIGHT, undefined, now);
  return { ...on, entries: [...on.entries.filter((entry) => !lies(entry)), ...on.entries.filter(lies)] };
}

/** What makes the room calm or empty of people at the phones ends what was allowed to whoever looks on. */
const calms = (command: Command): boolean =>
  ['fall-back', 'all-off', 'lights-up'].includes(command.do) ||
  (command.do === 'leave' && command.minutes > 0) ||
  (command.do === 'crew' && command.on);

/** Lasers are dark for good by that, and by what makes the room dark. */
const closesLasers = (command: Command): boolean =>
  calms(command) || command.do === 'close-lasers' || (command.do === 'blackout' && command.on);

const lowersFlashes = (command: Command): boolean => calms(command) || command.do === 'lower-flashes';

const withoutLasers = ({ lasers: _, ...state }: PlayState): PlayState => state;
const withoutRaise = ({ flashes: _, ...state }: PlayState): PlayState => state;

/** A state in which command `number` was asked for. Whoever asks is there: nothing is left to the node any more. */
function asked({ left, ...before }: PlayState, command: Command, number: number): PlayState {
  return { ...before, number, ...(left !== undefined && command.do === 'leave' ? { left } : {}) };
}

/**
 * What has no number cannot be taken back; what changed nothing, or but a hit, leaves the press before it to be taken back: a hit is over
 * when the finger lifts.
 */
function withUndo(show: Playbook, after: PlayState, before: PlayState, now: Millis, number: number | undefined): PlayState {
  const lasting = ({ entries }: PlayState): readonly Entry[] => entries.filter((entry) => !isHit(show, entry));
  const [old, young] = [lasting(before), lasting(after)];
  if (young.length === old.length && young.every((entry, i) => entry === old[i]))
    return before.undo === undefined ? after : { ...after, undo: before.undo };
  return number === undefined ? after : { ...after, undo: undoOf(number, before, after, now) };
}

function carryOut(show: Playbook, state: PlayState, command: Command, now: Millis): PlayState {
  switch (command.do) {
    case 'press': {
      const found = show.buttons.get(command.button);
      if (found === undefined) return state;
      // Whoever presses plays the show: what somebody tries gives way.
      const clear = endTrial(show, state, now);
      return startAll(show, release(show, clear, stoppedBy(show, clear, found), now), found.starts, command.button, now);
    }
    case 'try': {
      const clear = endTrial(show, state, now);
      return command.item === undefined ? clear : layOver(show, clear, command.item as ItemKey, now);
    }
    case 'moment': {
      const found = show.moments.find(({ id }) => id === command.moment);
      if (found === undefined) return state;
      const starts =
        command.unwatched === true ? found.starts.filter((key) => show.items.get(key)?.unattended === true) : found.starts;
      const clear = endTrial(show, state, now);
      const goes = stoppedBy(show, clear, { ...found, starts });
      return { ...startAll(show, release(show, clear, goes, now), starts, undefined, now), evening: begun(state, found.id) };
    }
    case 'late':
    case 'order':
      return arranged(state, command);
    case 'new-night':
      return anew(state);
    case 'release': {
      const found = show.buttons.get(command.button);
      return found === undefined ? state : release(show, state, new Set(found.starts), now);
    }
    case 'all-off':
      return releaseAll(show, state, now, command.fade === undefined ? SOFTLY : toMillis(command.fade));
    case 'lights-up':
      return lit(show, start(show, releaseAll(show, state, now, CALMLY, LIGHTS_UP), LIGHTS_UP, undefined, now), now);
    case 'crew': {
      const { crew: _, ...rest } = state;
      return command.on ? lit(show, { ...rest, crew: { at: now } }, now) : rest;
    }
    case 'leave': {
      const { left: _, ...rest } = state;
      return command.minutes === 0 ? rest : { ...rest, left: { until: now + toMillis(command.minutes * 60) } };
    }
    case 'allow-haze': {
      const { hazeAllowed: _, ...rest } = state;
      return command.on ? { ...rest, hazeAllowed: { at: now } } : rest;
    }
    case 'arm-lasers':
      return state.crew === undefined ? { ...state, lasers: { at: now } } : state;
    case 'raise-flashes':
      return state.crew === undefined ? { ...state, flashes: { at: now, most: command.most } } : state;
    case 'close-lasers':
    case 'lower-flashes':
      return state;
    case 'blackout':
      return { ...state, blackout: command.on };
    case 'master': {
      const fade = command.fade === undefined ? MASTER_FADE : toMillis(command.fade);
      const moved = (from: Level): Fade => ({ from, to: command.level, at: now, duration: fade });
      if (command.group === undefined) return { ...state, all: moved(levelOf(state.all, now)) };
      if (!show.groups.some(({ id }) => id === command.group)) return state;
      return { ...state, groups: { ...state.groups, [command.group]: moved(groupLevel(state, command.group, now)) } };
    }
    case 'tempo': {
      // The beat nearest to the tap is the one that was tapped: what plays keeps its place in the bar.
      const count = beatAt(state.tempo, now);
      const beat = nearestBeat(state.tempo, now);
      return { ...state, tempo: { bpm: command.bpm, at: now, beat, ahead: count - beat } };
    }
    case 'undo':
      return undo(show, state, command.number, now);
    case 'fall-back':
      return fallBack(show, state, now);
    case 'resume':
      return resume(show, state, now);
    case 'let-go':
      return letGoHeld(show, state, now);
  }
}

/**
 * State of another revision, another show, or another run of the node, made to fit this show: what the show no longer has is dropped.
 * What a person set (blackout, masters, tempo, what is held) outlives any change of the show.
 * @param by how far all instants move: 0 while the node runs; after a restart from the clock of then to the clock of now
 * @param old the show that it is of, where that is known
 */
function adopt(show: Playbook, state: PlayState, by: Millis, old?: Pick<Playbook, 'moments'>): PlayState {
  const later = (fade: Fade): Fade => ({ ...fade, at: fade.at + by });
  const keep = (entries: readonly Entry[]): Entry[] =>
    entries.filter(({ item }) => show.items.has(item)).map((entry) => moveEntry(entry, by, later));
  const groups = Object.entries(state.groups).filter(([id]) => show.groups.some((group) => group.id === id));
  return {
    ...state,
    entries: keep(state.entries),
    all: later(state.all),
    groups: Object.fromEntries(groups.map(([id, fade]) => [id, later(fade)])),
    tempo: { ...state.tempo, at: state.tempo.at + by },
    ...(state.left === undefined ? {} : { left: { until: state.left.until + by } }),
    ...(state.hazeAllowed === undefined ? {} : { hazeAllowed: { at: state.hazeAllowed.at + by } }),
    ...(state.crew === undefined ? {} : { crew: { at: state.crew.at + by } }),
    ...(state.homing === undefined ? {} : { homing: { until: state.homing.until + by } }),
    ...(state.lasers === undefined ? {} : { lasers: { at: state.lasers.at + by } }),
    ...(state.evening === undefined ? {} : { evening: fitting(show, state, old) }),
    ...(state.flashes === undefined ? {} : { flashes: { ...state.flashes, at: state.flashes.at + by } }),
    ...(state.undo === undefined ? {} : { undo: { ...state.undo, at: state.undo.at + by, before: keep(state.undo.before) } }),
  };
}

/**
 * What was on when the node last ran, by the clock of now. It goes on in phase with the time that has passed by the wall; where the wall
 * went back (a board without a battery for its clock, after a power cut) no time has passed. Hits go: whoever held them is not there.
 * Where another show was on, this one takes over from that, as while a node runs.
 */
export function revive(show: Playbook, saved: Saved, now: Millis, wall: Millis): PlayState {
  const passed = Math.max(0, wall - saved.wall);
  const state = adopt(show, withoutRaise(withoutLasers(saved.state)), now - passed - saved.at);
  if (saved.show !== show.id) return changeShow({ id: saved.show }, show, state, now);
  const entries = state.entries.filter((entry) => !isHit(show, entry));
  // What fell due while the node was dark is still to be done.
  return { ...state, evening: { ...state.evening, until: saved.wall }, entries };
}

/** A state with the instant at which it was written down, by both clocks. */
export interface Saved {
  /** Id of the show that it is of; undefined where that is not known any more. */
  readonly show: string | undefined;
  readonly state: PlayState;
  readonly at: Millis;
  readonly wall: Millis;
}

/**
 * Takes another show or revision over while something plays. Of the same show what plays goes on; another one starts afresh, under the
 * blackout, the master of all and the tempo that somebody has set.
 */
export function changeShow(
  from: { readonly id: string | undefined; readonly tempo?: number; readonly moments?: Playbook['moments'] },
  to: Playbook,
  state: PlayState,
  now: Millis,
): PlayState {
  if (from.id === to.id) return adopt(to, state, 0, from.moments && { moments: from.moments });
  const { number, nextId, all, blackout, alone, crew } = state;
  const fresh = freshState(to, now);
  const entries = fresh.entries.map((entry) => ({ ...entry, id: entry.id + nextId }));
  // A tempo that nobody has tapped was that show's own.
  const tempo = from.tempo === state.tempo.bpm ? fresh.tempo : state.tempo;
  const taken = { ...fresh, number, entries, nextId: nextId + fresh.nextId, all, blackout, tempo, alone };
  // They work at the lights, whatever the show is called.
  return crew === undefined ? taken : underCrewLight(to, { ...taken, crew }, now);
}

const moveEntry = ({ release: going, away, calmed, ...entry }: Entry, by: Millis, later: (fade: Fade) => Fade): Entry => ({
  ...entry,
  startedAt: entry.startedAt + by,
  rise: later(entry.rise),
  ...(going === undefined ? {} : { release: { ...going, at: going.at + by } }),
  ...(away === undefined ? {} : { away: later(away) }),
  ...(calmed === undefined ? {} : { calmed: { ...calmed, at: calmed.at + by } }),
});

/** What a button or a moment lets go: what it names, and where it is to be alone, all else on its fixtures that is not marked to stay. */
function stoppedBy(show: Playbook, state: PlayState, { alone, starts, stops }: PlayButton): ReadonlySet<ItemKey> {
  if (!alone) return new Set(stops);
  const own = emptySet(show.rig.fixtures.length);
  for (const key of starts) unite(own, show.items.get(key)?.fixtures ?? own);
  // What the fallback has taken away is not there to be let go: `resume` brings it back.
  const others = state.entries
    .filter((entry) => !isAway(entry))
    .map(({ item }) => item)
    .filter((key) => {
      const item = show.items.get(key);
      return item !== undefined && !item.stay && !starts.includes(key) && overlaps(item.fixtures, own);
    });
  return new Set([...stops, ...others]);
}

/** Everything goes, `but` one item; of what the fallback has taken away the heads fade back to where they are without it. */
const releaseAll = (show: Playbook, state: PlayState, now: Millis, fade: Millis, but?: ItemKey): PlayState =>
  release(
    show,
    state,
    new Set(state.entries.map(({ item }) => item).filter((item) => item !== but && item !== CREW_LIGHT)),
    now,
    fade,
  );

const startAll = (show: Playbook, state: PlayState, keys: readonly ItemKey[], button: string | undefined, now: Millis): PlayState =>
  keys.reduce((after, key, i) => start(show, after, key, button, now, keys.slice(i + 1)), state);

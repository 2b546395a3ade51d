import { MOST_FLASHES } from '../core/limits.ts';
import { type Beats, clampLevel, type Hertz, type Level, type Millis } from '../core/units.ts';
import type { ItemKey } from '../show/document.ts';

/**
 * What plays, as plain JSON: it goes into the journal as it stands and comes back after a power cut.
 * Everything is a starting instant and a rule; what is true now is computed from the clock, never accumulated.
 */
export interface PlayState {
  /** Number of the last command that was taken in. */
  readonly number: number;
  /** The stack, oldest first. */
  readonly entries: readonly Entry[];
  readonly nextId: number;
  readonly all: Fade;
  /** Masters by group. */
  readonly groups: Readonly<Record<string, Fade>>;
  readonly blackout: boolean;
  readonly tempo: Tempo;
  /** The fallback has come and nobody has pressed anything since: nothing hazes, strobes or turns, whoever asked for it. */
  readonly alone: boolean;
  /** Until when what plays needs no phone: somebody has left it to the node. */
  readonly left?: { readonly until: Millis };
  /** When somebody said that the venue permits haze. */
  readonly hazeAllowed?: { readonly at: Millis };
  /** Somebody has armed the lasers for this run, with a licensed plan: no restart and no other show keeps that. */
  readonly lasers?: { readonly at: Millis };
  /** An operator who has read the caution has raised the limit of flashes for this run: no restart and no other show keeps that. */
  readonly flashes?: { readonly at: Millis; readonly most: Hertz };
  /** People work at the lights since then. */
  readonly crew?: { readonly at: Millis };
  /** A fresh start: until then heads go dark to where they belong. */
  readonly homing?: { readonly until: Millis };
  /** How the evening stands beside its plan. */
  readonly evening?: Evening;
  /** By which the last press can be undone. */
  readonly undo?: Undo;
}

/** The plan of a show's moments as it goes tonight. */
export interface Evening {
  /** The moment that is on, by its id. */
  readonly moment?: string;
  /** By how many minutes what is still to come is later than planned. */
  readonly late?: number;
  /** Ids of the moments in tonight's order, where that is not the show's. */
  readonly order?: readonly string[];
  /** Up to here, in epoch milliseconds, the plan has been carried out. */
  readonly until?: Millis;
}

export interface Entry {
  readonly id: number;
  readonly item: ItemKey;
  /** The button that started it; absent for what the show itself starts. */
  readonly button?: string;
  readonly startedAt: Millis;
  /** Beat on which it counts its first step. */
  readonly startBeat: Beats;
  /** How its weight has come, or comes back. */
  readonly rise: Fade;
  readonly release?: Release;
  /** The fallback's look: it lies over what was there, belongs to nobody and hides nothing for good. */
  readonly isFallback?: true;
  /** Laid over what plays for whoever makes it: it belongs to nobody else and hides nothing for good. */
  readonly isTried?: true;
  /** The share of it that the fallback has taken away, on its way there or back. */
  readonly away?: Fade;
  /** The fallback has come while it played: figures move no further than to here, and what needs a person is left out of it. */
  readonly calmed?: Stand;
  /** What was decided when it started and must not be decided again, by name: which way a head turns. */
  readonly choices?: Readonly<Record<string, number>>;
}

/** Going out from the weight that it had at `at`. */
export interface Release {
  readonly at: Millis;
  readonly fade: Millis;
  readonly from: Level;
}

export interface Stand {
  readonly at: Millis;
  readonly beat: Beats;
}

/** A level on its way. */
export interface Fade {
  readonly from: Level;
  readonly to: Level;
  readonly at: Millis;
  readonly duration: Millis;
}

/** Beat `beat` fell at `at`; from there on they come at `bpm`. */
export interface Tempo {
  readonly bpm: number;
  readonly at: Millis;
  readonly beat: Beats;
  /** By how much the count was ahead of that beat, -0.5..0.5. It is made up within one beat, so that nothing jumps or turns back. */
  readonly ahead: Beats;
}

/** The stack as it was before command `number`, and the id that the first entry of that command has. */
export interface Undo {
  readonly number: number;
  readonly at: Millis;
  readonly before: readonly Entry[];
  readonly firstId: number;
  /** Ids of entries that the command let go. */
  readonly letGo: readonly number[];
  /** The moment that was on, where the command began another one: null for none. */
  readonly moment?: string | null;
}

/** A permission for haze holds for the night in which it was given. Our choice: longer than any party, and over before the next. */
const A_NIGHT: Millis = 18 * 3600 * 1000;

/** Somebody has said for this night that the venue permits haze. */
export const isHazeAllowed = ({ hazeAllowed }: PlayState, now: Millis): boolean =>
  hazeAllowed !== undefined && now - hazeAllowed.at < A_NIGHT;

/** Most flashes in any second, as long as somebody looks on. */
export const flashLimit = ({ flashes, alone }: PlayState): Hertz =>
  flashes === undefined || alone ? MOST_FLASHES : Math.max(MOST_FLASHES, flashes.most);

export const steady = (level: Level, at: Millis): Fade => ({ from: level, to: level, at, duration: 0 });

/** How far something that began at `at` has come, 0..1. */
export const progress = (at: Millis, duration: Millis, now: Millis): Level =>
  duration <= 0 ? (now >= at ? 1 : 0) : clampLevel((now - at) / duration);

export function levelOf({ from, to, at, duration }: Fade, now: Millis): Level {
  const share = progress(at, duration, now);
  // Exactly where it was to come to, not a rounding beside it.
  return share >= 1 ? to : from + (to - from) * share;
}

export const hasCome = ({ at, duration }: Fade, now: Millis): boolean => now >= at + duration;

/** Level of a group's master; full where nobody has set one. */
export const groupLevel = ({ groups }: PlayState, id: string, now: Millis): Level =>
  Object.hasOwn(groups, id) ? levelOf(groups[id] as Fade, now) : 1;

export function beatAt({ bpm, at, beat, ahead }: Tempo, now: Millis): Beats {
  const since = ((now - at) * bpm) / 60_000;
  return beat + since + ahead * (1 - clampLevel(since));
}

/** The beat that is meant by a press: a little early is meant for the one to come. Of the two zeros, which JSON does not tell apart, the plain one. */
export const nearestBeat = (tempo: Tempo, now: Millis): Beats => Math.round(beatAt(tempo, now)) || 0;

/** Weight of an entry: up with its fade, down from wherever it was when it was released. */
export function weightOf(entry: Entry, now: Millis): Level {
  const { release } = entry;
  if (release === undefined || now < release.at) return levelOf(entry.rise, now);
  return release.from * (1 - progress(release.at, release.fade, now));
}

/** Still wanted: not released, or to be released later. */
export const isOn = ({ release }: Entry, now: Millis): boolean => release === undefined || now < release.at;

/** Released and faded away: nothing is left of it. */
export const isOver = ({ release }: Entry, now: Millis): boolean => release !== undefined && now >= release.at + release.fade;

/** Left by the fallback as it was, or nearly: nothing that plays as it was pressed. */
export const isHeld = ({ release, away, calmed }: Entry): boolean =>
  release === undefined && (away === undefined ? calmed !== undefined : away.to > 0);

/** Taken away by the fallback, or on its way there. */
export const isAway = ({ away }: Entry): boolean => away !== undefined && away.to > 0;

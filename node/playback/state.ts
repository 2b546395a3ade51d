import { type Beats, clampLevel, type Level, type Millis } from '../core/units.ts';
import type { ItemKey } from '../show/document.ts';

/**
 * What plays, as plain JSON: it goes into the journal as it stands and comes back after a power cut.
 * Everything is a starting instant and a rule; what is true now is computed from the clock, never accumulated.
 */
export interface PlayState {
  /** The stack, oldest first. */
  readonly entries: readonly Entry[];
  readonly nextId: number;
  readonly all: Fade;
  /** Masters by group. */
  readonly groups: Readonly<Record<string, Fade>>;
  readonly blackout: boolean;
  readonly tempo: Tempo;
  readonly fallback?: Fallback;
}

/** The fallback came at `at`, and somebody resumed at `resumedAt`. What may not move on its own stands from `stands` on, at `beat`. */
export interface Fallback {
  readonly at: Millis;
  readonly stands: Millis;
  readonly beat: Beats;
  readonly resumedAt?: Millis;
}

export interface Entry {
  readonly id: number;
  readonly item: ItemKey;
  /** The button that started it; absent for what the show itself starts. */
  readonly button?: string;
  readonly startedAt: Millis;
  /** Beat on which it counts its first step. */
  readonly startBeat: Beats;
  readonly fadeIn: Millis;
  readonly release?: Release;
}

/** Going out from the weight that it had at `at`. */
export interface Release {
  readonly at: Millis;
  readonly fade: Millis;
  readonly from: Level;
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

export const steady = (level: Level, at: Millis): Fade => ({ from: level, to: level, at, duration: 0 });

/** How far something that began at `at` has come, 0..1. */
export const progress = (at: Millis, duration: Millis, now: Millis): Level =>
  duration <= 0 ? (now >= at ? 1 : 0) : clampLevel((now - at) / duration);

export const levelOf = ({ from, to, at, duration }: Fade, now: Millis): Level => from + (to - from) * progress(at, duration, now);

/** Level of a group's master; full where nobody has set one. */
export const groupLevel = ({ groups }: PlayState, id: string, now: Millis): Level =>
  Object.hasOwn(groups, id) ? levelOf(groups[id] as Fade, now) : 1;

export function beatAt({ bpm, at, beat, ahead }: Tempo, now: Millis): Beats {
  const since = ((now - at) * bpm) / 60_000;
  return beat + since + ahead * (1 - clampLevel(since));
}

/** Weight of an entry: up with its fade, down from wherever it was when it was released. */
export function weightOf(entry: Entry, now: Millis): Level {
  const { release } = entry;
  if (release === undefined || now < release.at) return progress(entry.startedAt, entry.fadeIn, now);
  return release.from * (1 - progress(release.at, release.fade, now));
}

/** Time in which the fallback takes the picture over, and in which it comes back after a resume. */
const FALL: Millis = 1000;
const RETURN: Millis = 2000;

/** What moves comes to rest when the fallback has taken the picture over. */
export const fallAt = (at: Millis, tempo: Tempo): Fallback => ({ at, stands: at + FALL, beat: beatAt(tempo, at + FALL) });

export const isFallen = ({ fallback }: PlayState): boolean => fallback !== undefined && fallback.resumedAt === undefined;

/** How far the fallback has taken the picture over, 0..1. */
export function fallenShare({ fallback }: PlayState, now: Millis): Level {
  if (fallback === undefined) return 0;
  const fallen = progress(fallback.at, FALL, now);
  return fallback.resumedAt === undefined ? fallen : fallen * (1 - progress(fallback.resumedAt, RETURN, now));
}

/** Released and faded away: nothing is left of it. */
export const isOver = ({ release }: Entry, now: Millis): boolean => release !== undefined && now >= release.at + release.fade;

import { attribute } from '../core/attributes.ts';
import type { Command } from '../core/commands.ts';
import { type Millis, toMillis } from '../core/units.ts';
import { addAll, emptySet, hasAll } from './bit-set.ts';
import type { Playbook } from './compile.ts';
import { choicesAt, letGo, trim } from './stack.ts';
import { beatAt, type Entry, isAway, isHeld, isOn, levelOf, nearestBeat, type PlayState, type Stand } from './state.ts';

/**
 * What happens when nobody is heard of any more, in one place. The fallback takes the light of every attended entry away, leaves its heads
 * where they are, and calms what may run alone: figures come to rest, haze and strobes stop. These are marks on the entries that played,
 * not a state of the whole node: what somebody presses afterwards plays as ever, and `resume` takes the marks off.
 */

/** A remote beats once a second; what a hand holds is let go when three beats are missed. */
export const SILENCE: Millis = 3000;
/** Time in which the fallback takes the light away, and in which it comes back after a resume. */
const FALL: Millis = 1000;
const RETURN: Millis = 2000;

/**
 * How the watch over attended entries stands. `free`: nothing that plays needs anybody. `kept`: somebody is there. `warned`: nobody
 * has been heard of for the allowed time, the countdown runs until `fallsBackAt`. `fallen`: the fallback has come and nothing attended
 * plays since.
 */
export interface Watch {
  readonly phase: 'free' | 'kept' | 'warned' | 'fallen';
  /** Instant of the fallback unless somebody is heard of before; only while kept or warned. */
  readonly fallsBackAt?: Millis;
}

/** Whether there is anything that `resume` would bring back to what it was. */
export const canResume = ({ entries }: PlayState): boolean => entries.some(isHeld);

export function watchOf(show: Playbook, state: PlayState, lastSign: Millis, now: Millis): Watch {
  const attended = state.entries.some((entry) => isOn(entry, now) && !isAway(entry) && isAttended(show, entry));
  if (!attended) return { phase: canResume(state) ? 'fallen' : 'free' };
  const { allow, countdown } = show.remoteWatch;
  // Left to the node, it is as if somebody were heard of until then.
  const sign = Math.max(lastSign, state.left?.until ?? lastSign);
  const fallsBackAt = sign + toMillis(allow) + toMillis(countdown);
  return { phase: now - sign < toMillis(allow) ? 'kept' : 'warned', fallsBackAt };
}

/** Somebody is there, or has left it to the node for a while: what needs a person may start. */
export const isWatched = ({ remoteWatch }: Playbook, { left }: PlayState, lastSign: Millis, now: Millis): boolean =>
  now - Math.max(lastSign, left?.until ?? lastSign) < toMillis(remoteWatch.allow);

const closeLasersNow: Command = { do: 'close-lasers' };
const lowerFlashesNow: Command = { do: 'lower-flashes' };
const letGoNow: Command = { do: 'let-go' };
const fallBackNow: Command = { do: 'fall-back' };

/**
 * What the engine must do by itself now because nobody is heard of, if anything.
 * @param lastSign when anybody was heard of last, who may press
 * @param lastOperator when an operator was
 */
export function dueBySilence(
  show: Playbook,
  state: PlayState,
  lastSign: Millis,
  lastOperator: Millis,
  now: Millis,
): Command | undefined {
  if (now - lastSign >= SILENCE && state.entries.some((entry) => isHit(show, entry) && isOn(entry, now))) return letGoNow;
  // A beam, or quick flashes: only as long as one is there who may allow them. Left to the node there are none in any case.
  if (now - lastOperator >= toMillis(show.remoteWatch.allow)) {
    if (state.lasers !== undefined) return closeLasersNow;
    if (state.flashes !== undefined) return lowerFlashesNow;
  }
  const { fallsBackAt } = watchOf(show, state, lastSign, now);
  return fallsBackAt !== undefined && now >= fallsBackAt ? fallBackNow : undefined;
}

/** Takes away what is attended, lays the fallback's look over what remains, and stills what moves. */
export function fallBack(show: Playbook, state: PlayState, now: Millis): PlayState {
  const calmed: Stand = { at: now + FALL, beat: beatAt(state.tempo, now + FALL) };
  const entries = state.entries.map((entry): Entry => {
    if (isAttended(show, entry)) {
      if (isAway(entry)) return entry;
      const from = entry.away === undefined ? 0 : levelOf(entry.away, now);
      return { ...entry, away: { from, to: 1, at: now, duration: FALL }, calmed };
    }
    return entry.calmed === undefined && !entry.isFallback ? { ...entry, calmed } : entry;
  });
  const laid = entries.some((entry) => entry.isFallback && isOn(entry, now));
  if (show.fallback === undefined || laid) return { ...state, entries, alone: true };
  const found = show.items.get(show.fallback);
  const look: Entry = {
    id: state.nextId,
    item: show.fallback,
    startedAt: now,
    startBeat: nearestBeat(state.tempo, now),
    rise: { from: 0, to: 1, at: now, duration: FALL },
    isFallback: true,
    ...(found && choicesAt(show, state, found, now)),
  };
  return { ...state, entries: trim(show, [...entries, look]), nextId: state.nextId + 1, alone: true };
}

/**
 * Brings back what the fallback took away, as if it had played on. Figures that may run alone go on from where they stand. What has been
 * pressed since stays over it, but for what would hide it.
 */
export function resume(show: Playbook, state: PlayState, now: Millis): PlayState {
  if (!canResume(state)) return state;
  const entries = raised(show, state.entries, now).map((entry): Entry => {
    if (entry.isFallback) return isOn(entry, now) ? letGo(entry, now, RETURN) : entry;
    if (entry.away !== undefined) return { ...entry, away: { from: levelOf(entry.away, now), to: 0, at: now, duration: RETURN } };
    return goOn(entry, show.items.get(entry.item)?.kind === 'movement', state, now);
  });
  return { ...state, entries, alone: false };
}

/** The stack with what was taken away only just so high that nothing which was pressed since hides the light of any part of it. */
function raised(show: Playbook, entries: readonly Entry[], now: Millis): readonly Entry[] {
  const others = entries.filter((entry) => !isAway(entry));
  const away = entries.flatMap((entry, i) =>
    isAway(entry) ? [{ entry, lies: entries.slice(0, i).filter((one) => !isAway(one)).length }] : [],
  );
  // By how many others it must lie at least; each rise may bring it under the next that hides it.
  let least = 0;
  for (;;) {
    const hidden = away.map(({ entry, lies }) => hiddenBy(show, entry, others, Math.max(lies, least), now) ?? 0);
    const next = Math.max(least, ...hidden);
    if (next === least) break;
    least = next;
  }
  const at = away.map(({ entry, lies }) => ({ entry, lies: Math.max(lies, least) }));
  return [...others, undefined].flatMap((other, i) => [
    ...at.filter(({ lies }) => lies === i).map(({ entry }) => entry),
    ...(other === undefined ? [] : [other]),
  ]);
}

/** How many of the others, from the bottom, hide together what lies over the first `from` of them; undefined where they do not. */
function hiddenBy(show: Playbook, entry: Entry, others: readonly Entry[], from: number, now: Millis): number | undefined {
  const { rig, items } = show;
  const touches = items.get(entry.item)?.program.touches ?? new Uint32Array();
  const light = touches.filter((cell) => attribute(rig.attributeOf[cell] ?? 'NoFeature').intensity === true);
  const needed = light.length > 0 ? light : touches;
  if (needed.length === 0) return undefined;
  const covered = emptySet(rig.rest.length);
  for (let i = from; i < others.length; i++) {
    const other = others[i] as Entry;
    const isNew = other.startedAt >= (entry.away?.at ?? now) && !other.isFallback && isOn(other, now);
    if (!isNew) continue;
    addAll(covered, items.get(other.item)?.program.covers ?? []);
    if (hasAll(covered, needed)) return i + 1;
  }
  return undefined;
}

/** Needs somebody: everything but what is marked to run alone, and the fallback's own look. */
const isAttended = (show: Playbook, entry: Entry): boolean =>
  entry.isTried === true || !(entry.isFallback || (show.items.get(entry.item)?.unattended ?? true));

/** It is there for as long as somebody holds it: a hit, or what somebody tries. */
export const isHit = (show: Playbook, { item, isTried }: Entry): boolean =>
  isTried === true || show.items.get(item)?.kind === 'hit';

/** The clock of a figure was stopped for as long as it stood. */
function goOn({ calmed, ...entry }: Entry, stood: boolean, { tempo }: PlayState, now: Millis): Entry {
  if (calmed === undefined || !stood || now <= calmed.at) return entry;
  return {
    ...entry,
    startedAt: entry.startedAt + now - calmed.at,
    startBeat: entry.startBeat + beatAt(tempo, now) - calmed.beat,
  };
}

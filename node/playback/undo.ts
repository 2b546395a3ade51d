import type { Millis } from '../core/units.ts';
import type { Playbook } from './compile.ts';
import { isHit } from './fallback.ts';
import { letGo } from './stack.ts';
import { type Entry, isOn, type PlayState, steady, type Undo, weightOf } from './state.ts';

/** What must be remembered to take command `number` back, which turned `before` into `after`. */
export function undoOf(number: number, before: PlayState, after: PlayState, now: Millis): Undo {
  const still = new Set(after.entries.filter((entry) => isOn(entry, now)).map(({ id }) => id));
  const letGoIds = before.entries.filter((entry) => isOn(entry, now) && !still.has(entry.id)).map(({ id }) => id);
  const was = before.evening?.moment;
  const moment = after.evening?.moment === was ? {} : { moment: was ?? null };
  return { number, at: now, before: before.entries, firstId: before.nextId, letGo: letGoIds, ...moment };
}

/**
 * Takes the last press back: what it started goes, what it let go or hid comes back in its place, each by its own fade.
 * Anything but the last press stays as it is: too much would hang on it.
 */
export function undo(show: Playbook, state: PlayState, number: number, now: Millis): PlayState {
  const { undo: last, ...rest } = state;
  if (last?.number !== number) return state;
  const present = new Map(state.entries.map((entry) => [entry.id, entry]));
  const mine = ({ id }: Entry): boolean => id >= last.firstId;
  const theirs = last.before.flatMap((was) => {
    const entry = present.get(was.id);
    // What was held comes back by no undo: nobody may hold it any more.
    if (isHit(show, was)) return entry ?? [];
    if (!last.letGo.includes(was.id)) return entry ?? wasHidden(was, now);
    return comesBack(was, entry === undefined ? 0 : weightOf(entry, now), show.items.get(was.item)?.fadeIn ?? 0, now);
  });
  const gone = state.entries
    .filter(mine)
    .map((entry) => (isOn(entry, now) ? letGo(entry, now, show.items.get(entry.item)?.fadeOut ?? 0) : entry));
  return { ...rest, entries: [...theirs, ...gone], ...evening(last, state) };
}

/** The moment that was on before, where the press began another one. */
function evening({ moment }: Undo, state: PlayState): Pick<PlayState, 'evening'> {
  if (moment === undefined) return {};
  const { moment: _, ...rest } = state.evening ?? {};
  return { evening: { ...rest, ...(moment === null ? {} : { moment }) } };
}

/** It had come in altogether and left only because something covered it, which does so still: nobody sees it return. */
const wasHidden = (was: Entry, now: Millis): Entry | [] => (isOn(was, now) ? { ...was, rise: steady(1, was.startedAt) } : []);

function comesBack({ release: _, ...was }: Entry, from: number, duration: Millis, now: Millis): Entry {
  return { ...was, rise: { from, to: 1, at: now, duration } };
}

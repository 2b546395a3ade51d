import type { Command } from '../core/commands.ts';
import type { Millis } from '../core/units.ts';
import type { Playbook, PlayMoment } from './compile.ts';
import type { Evening, PlayState } from './state.ts';

/**
 * The evening as it is planned, and how it goes. Times are reminders; what is automatic begins by itself, once, where nobody has begun it or
 * anything after it before. The clock on the wall decides which moment it is and nothing else: what plays goes by the other one.
 */

/** What was due in a longer gap than this is past: a node that lay on a shelf, or a clock that was years wrong. Our choice, no source. */
const LONGEST_GAP: Millis = 12 * 3600 * 1000;
const MINUTE: Millis = 60_000;

/** Gives the instant of a time of day tonight, in epoch milliseconds. */
export interface Times {
  instantOf(time: string): Millis;
}

/** The moments as they come tonight. Those that tonight's order does not name stand behind the one that they follow in the show. */
export function momentsTonight({ moments }: Pick<Playbook, 'moments'>, { evening }: PlayState): readonly PlayMoment[] {
  const order = evening?.order;
  if (order === undefined) return moments;
  const named = order.map((id) => moments.find((one) => one.id === id)).filter((one) => one !== undefined);
  const all = [...named];
  for (const [i, one] of moments.entries()) {
    if (named.includes(one)) continue;
    const before = moments[i - 1];
    all.splice(before === undefined ? 0 : all.indexOf(before) + 1, 0, one);
  }
  return all;
}

/** When a moment is due tonight, in epoch milliseconds; undefined where it has no time. What is still to come comes later by what the evening is late. */
export function dueAt(show: Pick<Playbook, 'moments'>, state: PlayState, moment: PlayMoment, tonight: Times): Millis | undefined {
  if (moment.at === undefined) return undefined;
  const late = isToCome(show, state, moment) ? (state.evening?.late ?? 0) : 0;
  return tonight.instantOf(moment.at) + late * MINUTE;
}

/** It lies behind the moment that is on. */
function isToCome(show: Pick<Playbook, 'moments'>, state: PlayState, moment: PlayMoment): boolean {
  const moments = momentsTonight(show, state);
  return moments.indexOf(moment) > moments.findIndex(({ id }) => id === state.evening?.moment);
}

/**
 * The moment that must begin by itself now, if any: the first that fell due since the plan was last carried out.
 * @param since epoch milliseconds up to which that is
 * @param wall epoch milliseconds
 */
export function dueByPlan(show: Playbook, state: PlayState, since: Millis, wall: Millis, tonight: Times): Due | undefined {
  const due = show.moments.flatMap((moment) => {
    if (!moment.automatic || !isToCome(show, state, moment)) return [];
    const at = dueAt(show, state, moment, tonight);
    return at !== undefined && at > since && at <= wall ? [{ moment: moment.id, at }] : [];
  });
  return due.reduce<Due | undefined>((first, one) => (first === undefined || one.at < first.at ? one : first), undefined);
}

export interface Due {
  readonly moment: string;
  readonly at: Millis;
}

/**
 * From where on the plan is still to be carried out.
 * @param until up to where it has been, by what is known of it
 * @param awake since when the node has run, by the wall of now: what fell due meanwhile is not past, whatever the clock said
 */
export const stillToDo = (until: Millis | undefined, wall: Millis, awake: Millis): Millis =>
  until === undefined || Math.abs(wall - until) > LONGEST_GAP ? Math.min(awake, wall) : until;

/** The evening with another moment on. */
export const begun = ({ evening }: PlayState, moment: string): Evening => ({ ...evening, moment });

/** Whether anything of how the evening stands is of this night alone. */
export const isUnderWay = ({ evening: { moment, late, order } = {} }: PlayState): boolean =>
  moment !== undefined || late !== undefined || order !== undefined;

/** As the plan has it: nothing is on yet, on time, in the order of the show. What plays plays on. */
export function anew(state: PlayState): PlayState {
  const { moment: _moment, late: _late, order: _order, ...evening } = state.evening ?? {};
  return { ...state, evening };
}

/**
 * The evening as far as a show still has it. Where the moment that is on is gone the last before it that is left is on: else all that came before it
 * would be to come again, and what is automatic of it would begin.
 * @param old the show that the state is of, where that is known
 */
export function fitting(show: Pick<Playbook, 'moments'>, state: PlayState, old: Pick<Playbook, 'moments'> = show): Evening {
  const { moment, order, ...evening } = state.evening ?? {};
  const known = (id: string): boolean => show.moments.some((one) => one.id === id);
  const were = momentsTonight(old, state).map(({ id }) => id);
  const on = moment === undefined || known(moment) ? moment : were.slice(0, were.indexOf(moment) + 1).findLast(known);
  return {
    ...evening,
    ...(on === undefined ? {} : { moment: on }),
    ...(order === undefined ? {} : { order: order.filter(known) }),
  };
}

/** What changes the evening and nothing that plays. */
export function arranged(state: PlayState, command: Extract<Command, { do: 'late' | 'order' }>): PlayState {
  const { late: _late, order: _order, ...rest } = state.evening ?? {};
  const { late = 0, order } = state.evening ?? {};
  const next = command.do === 'late' ? { late: command.minutes, order } : { late, order: command.moments };
  return {
    ...state,
    evening: {
      ...rest,
      ...(next.late === 0 ? {} : { late: next.late }),
      ...(next.order === undefined || next.order.length === 0 ? {} : { order: next.order }),
    },
  };
}

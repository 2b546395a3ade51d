import type { EveningState, MomentSummary } from '../../../node/api/contract.ts';
import { listed } from '../../../node/core/words.ts';
import { timeOfDay } from '../parts/words.ts';

/** A moment of tonight, as it stands. */
export interface Tonights extends MomentSummary {
  readonly isOn: boolean;
  /** It lies behind the one that is on. */
  readonly isToCome: boolean;
  /** When it is due, in epoch milliseconds by the node. */
  readonly at?: number;
  /** It begins by itself then. */
  readonly isAutomatic: boolean;
}

/** The moments of a show in the order in which they come tonight. */
export function tonights(moments: readonly MomentSummary[], evening: EveningState | undefined): readonly Tonights[] {
  if (evening === undefined) return moments.map((one) => ({ ...one, isOn: false, isToCome: true, isAutomatic: false }));
  const on = evening.moments.findIndex(({ id }) => id === evening.on);
  return evening.moments.flatMap(({ id, at, automatic = false }, i) => {
    const moment = moments.find((one) => one.id === id);
    if (moment === undefined) return [];
    return { ...moment, isOn: i === on, isToCome: i > on, isAutomatic: automatic, ...(at === undefined ? {} : { at }) };
  });
}

/** Something begins or goes with its moments, or they have times: it is more than pages to find buttons on. */
export const isPlanned = (moments: readonly Tonights[]): boolean =>
  moments.some(({ starts, stops, at }) => starts.length > 0 || stops.length > 0 || at !== undefined);

/** When a moment comes: `7:30 PM`, `auto 7:30 PM`, and once it is so late `due 7:30 PM`; empty where it has no time. */
export function whenInWords({ at, isAutomatic, isToCome }: Tonights, wall: number): string {
  if (at === undefined) return '';
  const time = timeOfDay(at);
  if (!isToCome) return time;
  // What is automatic and did not begin at its time, as that was moved back behind now, waits for a thumb as well.
  return at <= wall ? `due ${time}` : isAutomatic ? `auto ${time}` : time;
}

/** What begins with a moment and what goes: `Starts Dinner; lets go of Walls roll and whatever else plays on its lights.` */
export function doesInWords({ starts, stops, alone }: Pick<MomentSummary, 'starts' | 'stops' | 'alone'>): string {
  const begins = starts.length === 0 ? '' : `starts ${listed(starts)}`;
  const going = [...stops, ...(alone === true && starts.length > 0 ? ['whatever else plays on its lights'] : [])];
  const goes = going.length === 0 ? '' : `lets go of ${listed(going)}`;
  const words = [begins, goes].filter((one) => one !== '').join('; ');
  return words === '' ? 'Changes nothing by itself.' : `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}

/** By how much what is still to come is later than planned. */
export const lateInWords = (late: number): string =>
  late === 0 ? 'On time' : late > 0 ? `${late} min late` : `${-late} min early`;

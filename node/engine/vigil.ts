import type { Millis } from '../core/units.ts';
import { protocolNames } from '../core/words.ts';
import type { EngineReport } from './messages.ts';

/** Reports come twice a second; one that is older tells of an engine that stands still. */
const OLDEST_REPORT: Millis = 2000;
/** Frames that are further apart are no play any more, whatever rate was chosen (the slowest is one a second). */
const LONGEST_INTERVAL: Millis = 2000;

type Seen = Pick<EngineReport, 'at' | 'frames' | 'worstInterval'>;

/** Whether the engine was heard of just now. */
export const isHeardOf = (report: Pick<EngineReport, 'at'> | undefined, now: Millis): report is EngineReport =>
  report !== undefined && now - report.at <= OLDEST_REPORT;

/** Whether the engine goes on drawing frames. Whether they find a way out is not asked: a cable that is out is no reason to begin again. */
export class Vigil {
  readonly #report: () => Seen | undefined;
  #frames = -1;

  constructor(report: () => Seen | undefined) {
    this.#report = report;
  }

  /** To be asked at least half a second after the time before: were frames drawn since, without long gaps? */
  isOnTime(now: Millis): boolean {
    const report = this.#report();
    if (!isHeardOf(report, now) || report.worstInterval > LONGEST_INTERVAL) return false;
    const goesOn = report.frames > this.#frames;
    this.#frames = report.frames;
    return goesOn;
  }
}

/** What a node does, in one short line for whoever looks at its service. */
export function inShort(show: string, report: Pick<EngineReport, 'outputs'> | undefined): string {
  const ways = (report?.outputs ?? []).map(({ protocol, state, towards }) => `${protocolNames[protocol]} ${state}: ${towards}`);
  return [`Playing "${show}"`, ...ways].join('; ');
}

import type { Command } from '../core/commands.ts';
import type { Clock } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';
import { Night } from '../plan/night.ts';
import type { Playbook } from '../playback/compile.ts';
import { dueByPlan, isUnderWay, stillToDo } from '../playback/evening.ts';
import { isWatched } from '../playback/fallback.ts';
import type { PlayState } from '../playback/state.ts';

/** How often the plan is looked at. */
const EVERY: Millis = 1000;

/** Minds the plan of the evening: says which moment must begin by itself now. */
export class EveningPlan {
  readonly #clock: Clock;
  #startedAt: Millis;
  #zone: string;
  #night: Night | undefined;
  /** When the latest night began that is known of. A clock that is behind, as after a power cut, knows of none that is later. */
  #latest: Millis | undefined;
  #mindedAt: Millis = Number.NEGATIVE_INFINITY;
  #until: Millis | undefined;

  /**
   * @param zone in which the moments' times are meant
   * @param until epoch milliseconds up to which the plan was carried out before this run
   */
  constructor(clock: Clock, zone: string, until: Millis | undefined) {
    this.#clock = clock;
    this.#startedAt = clock.now();
    this.#zone = zone;
    this.#until = until;
  }

  set zone(zone: string) {
    this.#zone = zone;
    this.#night = undefined;
    this.#latest = undefined;
  }

  /** What the engine must do by itself now, if anything. */
  due(show: Playbook, state: PlayState, lastSign: Millis, now: Millis): Command | undefined {
    if (now - this.#mindedAt < EVERY) return undefined;
    this.#mindedAt = now;
    const wall = this.#clock.wall();
    const isPlanned = show.moments.some(({ automatic }) => automatic);
    // Of a show without a plan nobody need know which night it is.
    if (!isPlanned && !isUnderWay(state)) {
      this.#until = wall;
      this.#latest = undefined;
      return undefined;
    }
    if (this.#isAnotherNight(wall) && isUnderWay(state)) {
      // A clock that was far ahead for a while, and is put right, brings nothing twice.
      this.#startedAt = now;
      this.#mindedAt = Number.NEGATIVE_INFINITY;
      return { do: 'new-night' };
    }
    const since = stillToDo(this.#until, wall, wall - (now - this.#startedAt));
    this.#until = Math.max(since, wall);
    if (!isPlanned) return undefined;
    const due = dueByPlan(show, state, since, wall, this.#tonight(wall));
    if (due === undefined) return undefined;
    // Another one may be due at the same minute; this one is past once it is on.
    this.#until = due.at - 1;
    this.#mindedAt = Number.NEGATIVE_INFINITY;
    return { do: 'moment', moment: due.moment, ...(isWatched(show, state, lastSign, now) ? {} : { unwatched: true }) };
  }

  /** Whether a later night has begun since the plan was last minded, in this run or the one before. */
  #isAnotherNight(wall: Millis): boolean {
    const { begins } = this.#tonight(wall);
    const known = this.#latest ?? new Night(this.#until ?? wall, this.#zone).begins;
    this.#latest = Math.max(known, begins);
    return begins > known;
  }

  #tonight(wall: Millis): Night {
    if (this.#night === undefined || wall < this.#night.begins || wall >= this.#night.ends)
      this.#night = new Night(wall, this.#zone);
    return this.#night;
  }
}

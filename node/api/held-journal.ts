import type { HeldBack } from '../core/held-back.ts';
import type { Clock } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';
import type { EngineReport } from '../engine/messages.ts';
import type { PlayState } from '../playback/state.ts';
import type { Store } from '../store/store.ts';
import { closedWords, heldWords, sayHeld } from './held-words.ts';

/** After so long without it a guard begins anew; within so long after that it is the same stretch, in which it did so again. */
const OVER: Millis = 10_000;
const SAME: Millis = 10 * 60_000;
/** A stretch that goes on is written again after this: the card is spared. */
const AGAIN: Millis = 60_000;

/** A guard that holds something back, or did so not long ago. */
interface Stretch {
  /** By the wall, where it began. */
  readonly since: Millis;
  /** What the lights are called that it was seen at. */
  readonly lights: Set<string>;
  times: number;
  /** By the clock that plays: when it was seen last, and written down. */
  seenAt: Millis;
  writtenAt: Millis;
}

export interface HeldJournalParts {
  readonly store: Pick<Store, 'ask'>;
  readonly clock: Clock;
  /** What the lights of the show that plays are called, by their places in the patch. */
  readonly names: () => readonly string[];
  readonly state: () => PlayState;
}

/**
 * Writes down what guards hold back, in words, without flooding: a line where one begins, the same line again while it goes on and where it begins
 * again within ten minutes, with the number of times.
 */
export class HeldJournal {
  readonly #parts: HeldJournalParts;
  readonly #stretches = new Map<string, Stretch>();

  constructor(parts: HeldJournalParts) {
    this.#parts = parts;
  }

  take({ guards }: Pick<EngineReport, 'guards'>): void {
    for (const { guard, places } of guards) this.#see(guard, places);
  }

  #see(guard: string, places: readonly number[]): void {
    const { clock, names, state } = this.#parts;
    const now = clock.now();
    const known = this.#stretches.get(guard);
    const stretch = known !== undefined && now - known.seenAt < SAME ? known : this.#begun();
    const begins = now - stretch.seenAt >= OVER;
    const before = stretch.lights.size;
    const called = names();
    for (const place of places) stretch.lights.add(called[place] ?? '');
    if (!begins && stretch.lights.size === before && now - stretch.writtenAt < AGAIN) {
      stretch.seenAt = now;
      return;
    }
    const lights = [...stretch.lights];
    const what = sayHeld(heldWords, guard, lights, state()) ?? sayHeld(closedWords, guard, lights, state());
    // Of what the state tells there is nothing to write.
    if (what === undefined) return;
    this.#stretches.set(guard, stretch);
    if (begins) stretch.times++;
    stretch.seenAt = now;
    stretch.writtenAt = now;
    this.#write({ guard, since: stretch.since, until: clock.wall(), what, times: stretch.times });
  }

  #begun(): Stretch {
    const never = Number.NEGATIVE_INFINITY;
    return { since: this.#parts.clock.wall(), lights: new Set(), times: 0, seenAt: never, writtenAt: never };
  }

  #write(row: HeldBack): void {
    // A disk that refuses is told of by what plays; the line is written again as it goes on.
    this.#parts.store.ask('keepHeldBack', row).catch(() => undefined);
  }
}

import { RECOVERED, STANDING, STEP } from '../core/kept.ts';
import type { Clock } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';
import type { EngineReport } from '../engine/messages.ts';
import type { Store } from '../store/store.ts';

/** What has become less is no haste: until it is written down a restart is but too careful. */
const LATER: Millis = 30_000;
/** What stays as it is is written down again before it is taken for long ago. */
const AGAIN: Millis = RECOVERED / 2;

type Kept = EngineReport['kept'];

/** Keeps on the disk what guards have counted and a restart must not forgive: what grows by a step at once, what has gone in a while. */
export class GuardKeeper {
  readonly #store: Pick<Store, 'ask'>;
  readonly #clock: Clock;
  #kept: Kept = {};
  #text: string;
  #at: Millis = Number.NEGATIVE_INFINITY;
  #isWriting = false;

  /** @param kept what the node began with */
  constructor(store: Pick<Store, 'ask'>, clock: Clock, kept: Kept = {}) {
    this.#store = store;
    this.#clock = clock;
    this.#kept = kept;
    this.#text = JSON.stringify(kept);
  }

  #isDue(kept: Kept, text: string, since: Millis): boolean {
    if (text === this.#text) return since >= AGAIN && Object.keys(kept).length > 0;
    return since >= LATER || hasGrown(kept, this.#kept);
  }

  take(kept: Kept): void {
    const now = this.#clock.now();
    const text = JSON.stringify(kept);
    if (this.#isWriting || !this.#isDue(kept, text, now - this.#at)) return;
    this.#isWriting = true;
    this.#at = now;
    const [before, textBefore] = [this.#kept, this.#text];
    this.#kept = kept;
    this.#text = text;
    this.#store
      .ask('keepGuardMemory', { wall: this.#clock.wall(), kept })
      .catch(() => {
        // A disk that refuses is told of by what plays; the next report tries again.
        this.#kept = before;
        this.#text = textBefore;
      })
      .finally(() => {
        this.#isWriting = false;
      });
  }
}

/** Whether anything is new, wholly used, or used by a step more, or stands elsewhere. */
const hasGrown = (now: Kept, before: Kept): boolean =>
  Object.entries(now).some(([guard, own]) =>
    Object.entries(own).some(([key, used]) => {
      const was = before[guard]?.[key];
      if (guard === STANDING && used !== was) return true;
      return was === undefined || used >= was + STEP || (used === 1 && was < 1);
    }),
  );

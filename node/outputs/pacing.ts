import { SLOTS } from '../core/levels.ts';
import type { Millis } from '../core/units.ts';

/** ANSI E1.31-2018 section 6.6.2: after the last change three packets more with the same values. */
const REPEATS = 3;
/** Same section: then one keep-alive every 800..1000 ms. Our 850 leaves room for a late frame. Art-Net 4 recommends the same span. */
const KEEP_ALIVE: Millis = 850;

/** Decides for one universe which frames go out: those that changed, three repeats, then keep-alives. Both protocols use it. */
export class Pace {
  readonly #sent = new Uint8Array(SLOTS);
  #repeats = REPEATS;
  #lastSentAt: Millis = Number.NEGATIVE_INFINITY;

  /** Takes over this frame's slots and says whether a packet is due. */
  due(slots: Uint8Array, now: Millis): boolean {
    if (this.#take(slots)) this.#repeats = 0;
    else if (this.#repeats < REPEATS) this.#repeats++;
    else if (now - this.#lastSentAt < KEEP_ALIVE) return false;
    this.#lastSentAt = now;
    return true;
  }

  /** After an outage everybody is told again at once, as after a change. */
  restart(): void {
    this.#repeats = 0;
    this.#lastSentAt = Number.NEGATIVE_INFINITY;
  }

  #take(slots: Uint8Array): boolean {
    const sent = this.#sent;
    let changed = false;
    for (let i = 0; i < SLOTS; i++) {
      if (sent[i] !== slots[i]) {
        sent[i] = slots[i] as number;
        changed = true;
      }
    }
    return changed || this.#lastSentAt === Number.NEGATIVE_INFINITY;
  }
}

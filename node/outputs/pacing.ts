import { SLOTS } from '../core/levels.ts';
import type { Millis } from '../core/units.ts';

/** ANSI E1.31-2018 section 6.6.2: after the last change three packets more with the same values. */
const REPEATS = 3;
/**
 * Same section: then one keep-alive every 800..1000 ms. Frames, or at low rates the rounds between them, may come up to 150 ms apart or
 * late before 1000 is passed. Art-Net 4 recommends the same span.
 */
const KEEP_ALIVE: Millis = 850;
const NEVER: Millis = Number.NEGATIVE_INFINITY;

/** Decides for one universe which frames go out: those that changed, three repeats, then keep-alives. Both protocols use it. */
export class Pace {
  readonly #sent = new Uint8Array(SLOTS);
  #taken = false;
  #repeats = 0;
  #lastSentAt = NEVER;

  /** Takes over this frame's slots and says whether a packet is due. Whoever asks sends, or drops the packet for good. */
  due(slots: Uint8Array, now: Millis): boolean {
    const first = this.#lastSentAt === NEVER;
    this.#taken = true;
    if (this.#take(slots) || first) this.#repeats = 0;
    else if (this.#repeats < REPEATS) this.#repeats++;
    else return this.keepAliveDue(now);
    this.#lastSentAt = now;
    return true;
  }

  /** Between frames: whether the packet must go again as it is. Whoever asks sends, or drops it for good. */
  keepAliveDue(now: Millis): boolean {
    if (!this.#taken || now - this.#lastSentAt < KEEP_ALIVE) return false;
    this.#lastSentAt = now;
    return true;
  }

  /** The slots that were taken over last. Out of the engine's shared memory they would go into a packet octet by octet. */
  get slots(): Uint8Array {
    return this.#sent;
  }

  /** After an outage everybody is told again at once, as after a change. */
  restart(): void {
    this.#repeats = 0;
    this.#lastSentAt = NEVER;
  }

  #take(slots: Uint8Array): boolean {
    if (Buffer.compare(slots, this.#sent) === 0) return false;
    this.#sent.set(slots);
    return true;
  }
}

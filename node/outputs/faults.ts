import type { OutputFault, OutputReport } from '../core/report.ts';
import { meaningOf } from '../core/system-words.ts';
import type { Millis } from '../core/units.ts';
import type { Notices } from './notices.ts';

/** A trouble has healed when sends went on for this long without an error: two keep-alives of every universe lie in it. */
const HEALED_AFTER: Millis = 2000;

/**
 * A change of links may bring errors on its heels: sends that were on their way, and an IPv6 address that may not be used before it has
 * been looked for elsewhere, for up to two seconds (RFC 4862 section 5.4). The output tells of the link itself.
 */
const SETTLING: Millis = 3000;
const ofLinks: ReadonlySet<string> = new Set(['EADDRNOTAVAIL', 'EHOSTUNREACH', 'ENETDOWN', 'ENETUNREACH', 'ENODEV']);

/**
 * Counts what the system says of an output's sends. It logs when a trouble begins and when it has healed, and nothing in between; what
 * a change of links explains is counted only, unless it lasts.
 * Errors come in on later turns and without a time; they are given that of the last flush.
 */
export class Faults {
  readonly #notices: Notices;
  readonly #byCode = new Map<string, { count: number; lastAt: Millis }>();
  #now: Millis = 0;
  #failed = 0;
  #beganAt: Millis | undefined;
  #told = false;
  #lastErrorAt: Millis = 0;
  #goodFlushes = 0;

  constructor(notices: Notices) {
    this.#notices = notices;
  }

  /** To be handed to sockets as `onError`. */
  readonly record = (code: string): void => {
    const entry = this.#byCode.get(code);
    if (entry === undefined) this.#byCode.set(code, { count: 1, lastAt: this.#now });
    else {
      entry.count++;
      entry.lastAt = this.#now;
    }
    this.#lastErrorAt = this.#now;
    this.#goodFlushes = 0;
    this.#failed++;
    if (this.#beganAt === undefined) {
      this.#beganAt = this.#now;
      this.#failed = 1;
    }
    if (this.#told || (ofLinks.has(code) && this.#now - this.#beganAt < SETTLING)) return;
    this.#told = true;
    this.#notices.say(
      `${meaningOf(code)}. ` +
        'Lights that are fed this way may hold their last levels or go dark until it heals; sending goes on.',
    );
  };

  /** The links have changed: link errors that were not told of yet had to do with the old ones. */
  relinked(): void {
    if (!this.#told) this.#beganAt = undefined;
  }

  /** At the start of every flush: the time of what happens from here on. */
  begin(now: Millis): void {
    this.#now = now;
  }

  /** At the end of every flush, with the number of datagrams that it handed to the system. */
  end(sent: number): void {
    if (this.#beganAt === undefined || sent === 0) return;
    // The errors of this flush come in after it, so it proves nothing yet of its own.
    if (++this.#goodFlushes < 2 || this.#now - this.#lastErrorAt < HEALED_AFTER) return;
    const seconds = Math.round((this.#lastErrorAt - this.#beganAt) / 1000);
    if (this.#told) this.#notices.say(`sends go through again and the lights follow. ${this.#failed} failed within ${seconds} s.`);
    this.#told = false;
    this.#beganAt = undefined;
  }

  /** `waiting`: there is nobody to send to just now. It outweighs a failure, which cannot heal without sends. */
  state(waiting: boolean): OutputReport['state'] {
    if (waiting) return 'waiting';
    return this.#beganAt === undefined ? 'sending' : 'failing';
  }

  list(): OutputFault[] {
    return [...this.#byCode].map(([code, { count, lastAt }]) => ({ code, count, lastAt }));
  }
}

import type { Link } from '../../core/ports.ts';
import type { Millis, PortAddress } from '../../core/units.ts';
import type { ParsedPoll, PortRange } from './parse.ts';

/** Art-Net 4: a reply follows its poll after a random delay of up to 1 s, so that not all devices answer at once. */
const LONGEST_DELAY: Millis = 1000;
/** One asker gets no more than one set of replies within this, however often it polls. */
const QUIET_AFTER: Millis = 1000;
/** Controllers poll every 2.5 to 3 s: who has not done so three times is no longer told of changes. */
const FORGOTTEN_AFTER: Millis = 10_000;
/** Askers remembered at one time, and replies in one flush: a flood of polls must not come out as a flood of replies. */
const MOST_ASKERS = 64;
const MOST_REPLIES = 32;

/** What one reply speaks of: one universe that we feed into Art-Net; a node that carries none has one page without. */
export interface Page {
  readonly bindIndex: number;
  readonly portAddress: PortAddress | undefined;
}

interface Asker {
  readonly address: string;
  /** The link by which it sees us. */
  readonly link: Link;
  target: PortRange | undefined;
  replyOnChange: boolean;
  polledAt: Millis;
  /** When its replies begin; infinite when none are due. */
  dueAt: Millis;
  /** Pages that have had their turn. */
  done: number;
  quietUntil: Millis;
}

/** Whoever polls us, and when they get their answer. */
export class Replies {
  readonly #random: () => number;
  #askers: Asker[] = [];

  constructor(random: () => number) {
    this.#random = random;
  }

  /** A poll came from `address`; `facing` finds the link towards it, and nobody is answered whom none faces. */
  ask({ target, replyOnChange }: ParsedPoll, address: string, now: Millis, facing: (address: string) => Link | undefined): void {
    const known = this.#askers.find((asker) => asker.address === address);
    if (known !== undefined) {
      known.target = known.dueAt === Number.POSITIVE_INFINITY ? target : widest(known.target, target);
      known.replyOnChange = replyOnChange;
      known.polledAt = now;
      this.#schedule(known, now);
      return;
    }
    if (this.#askers.length >= MOST_ASKERS && !this.#forgetOne(now)) return;
    const link = facing(address);
    if (link === undefined) return;
    const quiet = Number.NEGATIVE_INFINITY;
    const asker = {
      address,
      link,
      target,
      replyOnChange,
      polledAt: now,
      dueAt: Number.POSITIVE_INFINITY,
      done: 0,
      quietUntil: quiet,
    };
    this.#askers.push(asker);
    this.#schedule(asker, now);
  }

  /** Our ports have changed: those who wished to know are told. */
  changed(now: Millis): void {
    for (const asker of this.#askers) {
      if (asker.replyOnChange && now - asker.polledAt < FORGOTTEN_AFTER) this.#schedule(asker, now);
    }
  }

  /** The links have changed, and with them the address under which we are seen. Everybody polls again. */
  forget(): void {
    this.#askers = [];
  }

  /** Hands out the replies that are due; what is over the limit follows with the next flush. */
  flush(pages: readonly Page[], now: Millis, reply: (page: Page, link: Link, address: string) => void): void {
    let left = MOST_REPLIES;
    for (const asker of this.#askers) {
      while (asker.dueAt <= now && left > 0) {
        const page = pages[asker.done++];
        if (page === undefined) {
          asker.dueAt = Number.POSITIVE_INFINITY;
          asker.quietUntil = now + QUIET_AFTER;
        } else if (isAsked(page, asker.target)) {
          left--;
          reply(page, asker.link, asker.address);
        }
      }
    }
  }

  #schedule(asker: Asker, now: Millis): void {
    if (asker.dueAt !== Number.POSITIVE_INFINITY) return;
    asker.dueAt = Math.max(now + this.#random() * LONGEST_DELAY, asker.quietUntil);
    asker.done = 0;
  }

  /** Makes room by the asker that has been silent the longest, if one has had its answer and its quiet. */
  #forgetOne(now: Millis): boolean {
    let oldest = -1;
    for (const [i, { dueAt, quietUntil, polledAt }] of this.#askers.entries()) {
      if (dueAt !== Number.POSITIVE_INFINITY || now < quietUntil) continue;
      if (oldest === -1 || polledAt < (this.#askers[oldest] as Asker).polledAt) oldest = i;
    }
    if (oldest !== -1) this.#askers.splice(oldest, 1);
    return oldest !== -1;
  }
}

/** Targeted mode asks for a range of ports, ends included. */
function isAsked({ portAddress }: Page, target: PortRange | undefined): boolean {
  if (target === undefined) return true;
  return portAddress !== undefined && portAddress >= target.bottom && portAddress <= target.top;
}

const widest = (a: PortRange | undefined, b: PortRange | undefined): PortRange | undefined =>
  a && b && { bottom: Math.min(a.bottom, b.bottom), top: Math.max(a.top, b.top) };

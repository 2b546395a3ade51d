import type { Millis } from '../core/units.ts';

/** So often the same line is written in a span; what comes more often is counted, and the count written when the span is over. */
const MOST = 4;
const SPAN: Millis = 60_000;
/** Different lines that are remembered; a flood of more starts the memory afresh. */
const MOST_LINES = 64;

interface Line {
  readonly since: Millis;
  count: number;
}

/** The log of one output: a cable that flaps all night does not fill it. */
export class Notices {
  readonly #who: string;
  readonly #log: (line: string) => void;
  readonly #lines = new Map<string, Line>();
  readonly #followed = new Map<(value: string) => string, string>();
  #now: Millis = 0;
  /** When the next span ends in which something was left out. */
  #endsAt: Millis = Number.POSITIVE_INFINITY;

  /** `who` begins every line: the output in words, e.g. `sACN output "main"`. */
  constructor(who: string, log: (line: string) => void) {
    this.#who = who;
    this.#log = log;
  }

  /** The time of what is said from here on. Writes the counts of spans that are over. */
  begin(now: Millis): void {
    this.#now = now;
    if (now < this.#endsAt) return;
    this.#endsAt = Number.POSITIVE_INFINITY;
    for (const [line, { since, count }] of this.#lines) {
      if (now - since < SPAN) this.#mind(since, count);
      else {
        this.#lines.delete(line);
        if (count > MOST) this.#write(`${line} (${count - MOST} times more within a minute)`);
      }
    }
  }

  say(line: string): void {
    const known = this.#lines.get(line);
    if (known === undefined || (this.#now - known.since >= SPAN && known.count <= MOST)) {
      if (this.#lines.size >= MOST_LINES) this.#lines.clear();
      this.#lines.set(line, { since: this.#now, count: 1 });
      this.#write(line);
    } else {
      known.count++;
      if (known.count <= MOST) this.#write(line);
      this.#mind(known.since, known.count);
    }
  }

  /** Says what `words` makes of a value whenever that differs from before; at first it is empty. @returns whether it is empty now. */
  follow(words: (value: string) => string, value: string): boolean {
    if (value !== (this.#followed.get(words) ?? '')) this.say(words(value));
    this.#followed.set(words, value);
    return value === '';
  }

  #mind(since: Millis, count: number): void {
    if (count > MOST) this.#endsAt = Math.min(this.#endsAt, since + SPAN);
  }

  #write(line: string): void {
    this.#log(`${this.#who}: ${line}`);
  }
}

/** The links have changed; `away` names what cannot be sent to or by any more, or is empty. */
export const awayLine = (away: string): string =>
  away === ''
    ? 'every way out is there again.'
    : `no way out by ${away}. Lights that are fed by it may hold their last levels or go dark until it is back.`;

/** `silent` names receivers that do not answer though their network is there, or is empty. */
export const silentLine = (silent: string): string =>
  silent === ''
    ? 'every receiver answers again.'
    : `nobody answers at ${silent}. Lights that are fed there may hold their last levels or go dark until somebody does.`;

import type { Millis } from '../core/units.ts';

/** Haze hangs for a while after its machine has stopped. Common practice, no source. */
const HANGS: Millis = 5 * 60_000;
/** Beams that were dark for less go on. */
const DARK: Millis = 60_000;
/** A hint is read in this time, and then gone. */
const STAYS: Millis = 30_000;
const MINUTE: Millis = 60_000;
const NEVER = Number.NEGATIVE_INFINITY;

/** What is looked at in a frame. */
export interface Looked {
  /** Whether any beam is lit. */
  readonly beams: boolean;
  /** Whether haze goes into the air; undefined where the show has no machine for it, so that nobody knows. */
  readonly haze: boolean | undefined;
  /** Machines that are asked for haze and warm up first: what they are called, and for how many minutes. */
  readonly warming: readonly { readonly name: string; readonly minutes: number }[];
}

/** What whoever presses would like to know and no guard tells: each is said for a while, and not again for as long as it holds. */
export class Hints {
  #litAt: Millis = NEVER;
  #begunAt: Millis = NEVER;
  #hazeAt: Millis = NEVER;
  readonly #askedAt = new Map<string, Millis>();

  tell({ beams, haze, warming }: Looked, now: Millis): string[] {
    if (haze === true) this.#hazeAt = now;
    if (beams) {
      if (now - this.#litAt >= DARK) this.#begunAt = now;
      this.#litAt = now;
    }
    const onlyDots = beams && haze === false && now - this.#hazeAt >= HANGS && now - this.#begunAt < STAYS;
    return [...(onlyDots ? ['No haze runs: beams are only dots where they land'] : []), ...this.#warmUps(warming, now)];
  }

  /** When a machine got its power nobody knows: its time is counted from when it was first asked. */
  #warmUps(warming: Looked['warming'], now: Millis): string[] {
    return warming.flatMap(({ name, minutes }) => {
      const askedAt = this.#askedAt.get(name) ?? now;
      this.#askedAt.set(name, askedAt);
      const isWarming = now - askedAt < minutes * MINUTE;
      return isWarming ? [`${name}: may be warming up, about ${minutes} minutes from when it gets power`] : [];
    });
  }
}

/** While lost the node is looked for soon at first, then ever more rarely: a hundred lost phones must not drown it. Milliseconds. */
const FIRST = 500;
const LAST = 3000;
/** A node that comes back is not asked by all phones in the same moment: shares of a pause that it may be shorter or longer by. */
const SPREAD = 0.25;

/** How long to wait before the next look. @param looks how many there were in vain; @param chance uniform in 0..1 */
const pauseAfter = (looks: number, chance: number): number =>
  Math.min(LAST, FIRST * 2 ** Math.min(looks, 10)) * (1 + SPREAD * (2 * chance - 1));

/** Looks for the node again and again, without waiting for a look that still hangs, until somebody says that it is there. */
export class Seeking {
  readonly #look: () => void;
  readonly #chance: () => number;
  #looks = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;

  /** @param chance uniform in 0..1 */
  constructor(look: () => void, chance: () => number = Math.random) {
    this.#look = look;
    this.#chance = chance;
  }

  get isOn(): boolean {
    return this.#timer !== undefined;
  }

  /** Looks at once, and soon again: something has happened that gives reason for hope. */
  now(): void {
    this.#looks = 0;
    this.#again();
  }

  /** Looks after a pause, which has grown with every look since {@link now}. */
  later(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#again(), pauseAfter(this.#looks++, this.#chance()));
  }

  stop(): void {
    clearTimeout(this.#timer);
    this.#timer = undefined;
  }

  #again(): void {
    this.later();
    this.#look();
  }
}

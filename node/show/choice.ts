const LONGEST = 12;

/** What may be named somewhere. The words for a choice among many are made once, when they are first wanted. */
export class Choice {
  readonly #what: string;
  readonly #all: ReadonlySet<string>;
  #words: string | undefined;

  /** @param what what one of them is called, as in `there is no look "x"` */
  constructor(what: string, all: Iterable<string>) {
    this.#what = what;
    this.#all = new Set(all);
  }

  has(one: string): boolean {
    return this.#all.has(one);
  }

  /** `there is no look "cold"; known are dinner, dancing` */
  lacks(one: string): string {
    return `there is no ${this.#what} "${one}"; ${this.words}`;
  }

  /** `known are dinner, dancing` */
  get words(): string {
    this.#words ??= wordsOf([...this.#all]);
    return this.#words;
  }
}

function wordsOf(all: readonly string[]): string {
  if (all.length === 0) return 'there are none';
  return `known are ${all.slice(0, LONGEST).join(', ')}${all.length > LONGEST ? '…' : ''}`;
}

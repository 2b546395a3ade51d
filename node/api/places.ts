/** Somebody who holds places, with the rank that decides who goes first: the lowest. */
export interface Holder {
  readonly key: string;
  readonly rank: number;
}

/** So many places and no more, and so many for each. Who comes gets one; who has to go for it is decided here. */
export class Places<T> {
  readonly #most: number;
  readonly #mostEach: number;
  /** The oldest first. */
  readonly #holders = new Map<T, Holder>();

  constructor(most: number, mostEach: number) {
    this.#most = most;
    this.#mostEach = mostEach;
  }

  /** Gives `one` the newest place. @returns who has lost theirs, if anybody; `one` itself where all others rank higher. */
  take(one: T, holder: Holder): T | undefined {
    this.#holders.delete(one);
    this.#holders.set(one, holder);
    const own = [...this.#holders].filter(([, { key }]) => key === holder.key).map(([held]) => held);
    const leaver = own.length > this.#mostEach ? own[0] : this.#holders.size > this.#most ? this.#least() : undefined;
    if (leaver !== undefined) this.#holders.delete(leaver);
    return leaver;
  }

  leave(one: T): void {
    this.#holders.delete(one);
  }

  [Symbol.iterator](): IterableIterator<T> {
    return this.#holders.keys();
  }

  get size(): number {
    return this.#holders.size;
  }

  /** Of the lowest rank whoever holds most gives up the oldest: a crowd from one address hurts itself only. */
  #least(): T | undefined {
    const lowest = Math.min(...[...this.#holders.values()].map(({ rank }) => rank));
    const held = new Map<string, T[]>();
    for (const [one, { key, rank }] of this.#holders) {
      if (rank !== lowest) continue;
      const own = held.get(key);
      if (own === undefined) held.set(key, [one]);
      else own.push(one);
    }
    return [...held.values()].reduce<T[]>((most, own) => (own.length > most.length ? own : most), [])[0];
  }
}

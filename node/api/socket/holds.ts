/**
 * Who holds which hit down. Two phones may hold one, and the first to lift must not end it for the other: it is let go when the last
 * holder lifts. A hit that ended by itself (its longest time, silence, a release from elsewhere) has no holders any more.
 */
export class Holds<Holder> {
  readonly #isOn: (button: string) => boolean;
  /** By button, who holds it; `true` once the press was carried out: until then it cannot have ended by itself. */
  readonly #holders = new Map<string, Map<Holder, boolean>>();

  /** @param isOn whether what a button starts is on at present. */
  constructor(isOn: (button: string) => boolean) {
    this.#isOn = isOn;
  }

  /** A finger goes down; to be followed by {@link pressed} when the hit is on. */
  press(button: string, holder: Holder): void {
    const holders = this.#of(button);
    holders.set(holder, false);
    this.#holders.set(button, holders);
  }

  pressed(button: string, holder: Holder): void {
    const holders = this.#holders.get(button);
    if (holders?.has(holder)) holders.set(holder, true);
  }

  /** A finger lifts. @returns whether nobody holds the hit any more, so that it is to be released. */
  lift(button: string, holder: Holder): boolean {
    const holders = this.#of(button);
    holders.delete(holder);
    if (holders.size > 0) return false;
    this.#holders.delete(button);
    return true;
  }

  /** All fingers of a holder are gone. @returns the hits that nobody holds any more. */
  liftAll(holder: Holder): string[] {
    const own = [...this.#holders].filter(([, holders]) => holders.has(holder)).map(([button]) => button);
    return own.filter((button) => this.lift(button, holder));
  }

  /** Those who hold a button, without those whose hit has ended by itself. */
  #of(button: string): Map<Holder, boolean> {
    const holders = this.#holders.get(button) ?? new Map<Holder, boolean>();
    if (this.#isOn(button)) return holders;
    for (const [holder, wasOn] of holders) if (wasOn) holders.delete(holder);
    return holders;
  }
}

/** Passes on the last of many values, at most one each `millis`, and always the final one. */
export class Throttle<Value> {
  readonly #millis: number;
  readonly #act: (value: Value) => void;
  #next: { value: Value } | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(millis: number, act: (value: Value) => void) {
    this.#millis = millis;
    this.#act = act;
  }

  /** Forgets what waits. */
  drop(): void {
    this.#next = undefined;
  }

  push(value: Value): void {
    if (this.#timer !== undefined) {
      this.#next = { value };
      return;
    }
    this.#act(value);
    this.#timer = setTimeout(() => {
      this.#timer = undefined;
      const next = this.#next;
      this.#next = undefined;
      if (next !== undefined) this.push(next.value);
    }, this.#millis);
  }
}

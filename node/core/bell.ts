import type { Millis } from './units.ts';

/** A bell in memory that several threads see: it wakes the engine from its sleep, there is something for it. */
export class Bell {
  readonly memory: SharedArrayBuffer;
  readonly #rung: Int32Array;

  constructor(memory = new SharedArrayBuffer(4)) {
    this.memory = memory;
    this.#rung = new Int32Array(memory);
  }

  ring(): void {
    Atomics.add(this.#rung, 0, 1);
    Atomics.notify(this.#rung, 0);
  }

  /** How often it has been rung, to be handed to {@link sleep} after looking for what it rang for. */
  heard(): number {
    return Atomics.load(this.#rung, 0);
  }

  /** Sleeps up to `millis`, or until someone rings; not at all where someone has rung since `heard`. Blocks the thread. */
  sleep(heard: number, millis: Millis): void {
    Atomics.wait(this.#rung, 0, heard, millis);
  }
}

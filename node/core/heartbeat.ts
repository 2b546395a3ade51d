import type { Millis } from './units.ts';

/**
 * When the last sign of life came from a person: in memory that both threads see, so that the engine notices a dead phone and a main
 * thread that hangs by the same silence.
 */
export class Heartbeat {
  readonly memory: SharedArrayBuffer;
  readonly #last: BigInt64Array;

  constructor(memory = new SharedArrayBuffer(8)) {
    this.memory = memory;
    this.#last = new BigInt64Array(memory);
  }

  beat(now: Millis): void {
    Atomics.store(this.#last, 0, BigInt(Math.round(now)));
  }

  last(): Millis {
    return Number(Atomics.load(this.#last, 0));
  }
}

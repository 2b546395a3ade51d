import type { Role } from './roles.ts';
import type { Millis } from './units.ts';

/**
 * When the last sign of life came from a person, and from an operator: in memory that both threads see, so that the engine notices a dead phone
 * and a main thread that hangs by the same silence.
 */
export class Heartbeat {
  readonly memory: SharedArrayBuffer;
  readonly #last: BigInt64Array;

  constructor(memory = new SharedArrayBuffer(16)) {
    this.memory = memory;
    this.#last = new BigInt64Array(memory);
  }

  /** @param role of whoever was heard of; whoever is at the node itself is an operator */
  beat(now: Millis, role: Role = 'operator'): void {
    Atomics.store(this.#last, 0, BigInt(Math.round(now)));
    if (role === 'operator') Atomics.store(this.#last, 1, BigInt(Math.round(now)));
  }

  /** When anybody was heard of last, who may press. */
  last(): Millis {
    return Number(Atomics.load(this.#last, 0));
  }

  /** When an operator was heard of last. */
  lastOperator(): Millis {
    return Number(Atomics.load(this.#last, 1));
  }
}

import type { Engine } from '../../engine/engine.ts';
import type { FromRemote } from '../contract.ts';

export type ByHandWish = Omit<Extract<FromRemote, { type: 'by-hand' }>, 'type' | 'id'>;

/** What is driven by hand. One pair of hands at a time: the newest has it, and it ends with its page. */
export class ByHand {
  readonly #engine: Pick<Engine, 'byHand'>;
  #owner: object | undefined;

  constructor(engine: Pick<Engine, 'byHand'>) {
    this.#engine = engine;
  }

  take(owner: object, { slots = [], identify }: ByHandWish): void {
    const nothing = slots.length === 0 && identify === undefined;
    if (nothing && this.#owner !== owner) return;
    this.#owner = nothing ? undefined : owner;
    this.#engine.byHand({ slots, ...(identify === undefined ? {} : { identify }) });
  }
}

import type { Engine } from '../../engine/engine.ts';
import type { FromRemote } from '../contract.ts';

export type ByHandWish = Omit<Extract<FromRemote, { type: 'by-hand' }>, 'type' | 'id'>;

/** A page at which somebody may drive lights by hand. */
export interface Hands {
  readonly remote: { readonly name: string };
  loseHands(to: string): void;
}

/** What is driven by hand. One pair of hands at a time: the newest has it, and it ends with its page. Who loses it is told by whom. */
export class ByHand {
  readonly #engine: Pick<Engine, 'byHand'>;
  #owner: Hands | undefined;

  constructor(engine: Pick<Engine, 'byHand'>) {
    this.#engine = engine;
  }

  take(owner: Hands, { slots = [], identify }: ByHandWish): void {
    const nothing = slots.length === 0 && identify === undefined;
    if (nothing && this.#owner !== owner) return;
    if (this.#owner !== owner) this.#owner?.loseHands(owner.remote.name);
    this.#owner = nothing ? undefined : owner;
    this.#engine.byHand({ slots, ...(identify === undefined ? {} : { identify }) });
  }
}

import { InputError } from '../../core/errors.ts';
import type { Engine } from '../../engine/engine.ts';
import type { FromRemote } from '../contract.ts';
import type { Control } from '../control.ts';

export type ByHandWish = Omit<Extract<FromRemote, { type: 'by-hand' }>, 'type' | 'id'>;

/** A page at which somebody may drive lights by hand. */
export interface Hands {
  readonly remote: { readonly name: string };
  loseHands(to: string): void;
}

/** What is driven by hand. One pair of hands at a time: the newest has it, and it ends with its page. Who loses it is told by whom. */
export class ByHand {
  readonly #engine: Pick<Engine, 'byHand'>;
  readonly #control: Pick<Control, 'show'>;
  #owner: Hands | undefined;

  constructor(engine: Pick<Engine, 'byHand'>, control: Pick<Control, 'show'>) {
    this.#engine = engine;
    this.#control = control;
  }

  /** @throws InputError where the show that plays has no such fixture or universe. */
  take(owner: Hands, { slots = [], identify }: ByHandWish): void {
    const { rig } = this.#control.show;
    if (identify !== undefined && !rig.byId.has(identify)) throw new InputError(`The show has no fixture "${identify}"`);
    const foreign = slots.find(({ universe }) => !rig.universes.includes(universe));
    if (foreign !== undefined)
      throw new InputError(`The show does not send universe ${foreign.universe}; it sends ${rig.universes.join(', ') || 'none'}`);
    const nothing = slots.length === 0 && identify === undefined;
    if (nothing && this.#owner !== owner) return;
    if (this.#owner !== owner) this.#owner?.loseHands(owner.remote.name);
    this.#owner = nothing ? undefined : owner;
    this.#engine.byHand({ slots, ...(identify === undefined ? {} : { identify }) });
  }
}

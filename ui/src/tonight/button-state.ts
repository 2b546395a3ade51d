import type { ButtonState, State } from '../../../node/api/contract.ts';

const OFF = { state: 'off' } as const;
/** How a button stands, by what the node said last. */
export const buttonState = (now: State | undefined, id: string): Pick<ButtonState, 'state' | 'fade'> =>
  now?.buttons.find((button) => button.id === id) ?? OFF;

/** How a button fills or empties: from a share now to a share when the fade ends. Shares 0..1, instants on the node's clock. */
export interface Fill {
  readonly at: number;
  readonly until: number;
  readonly from: number;
  readonly to: number;
}

/**
 * The fill of a button that is on its way, as of `state.now`. Where the node says how far its entries are, that counts: a fade that
 * began half way up must not jump. Else the share of time gone by does.
 */
export function fillOf(
  button: Pick<ButtonState, 'id' | 'state' | 'fade'>,
  { now, playing }: Pick<State, 'now' | 'playing'>,
): Fill | undefined {
  const { fade } = button;
  if (fade === undefined || (button.state !== 'coming' && button.state !== 'going')) return undefined;
  const coming = button.state === 'coming';
  const weights = playing.filter((entry) => entry.button === button.id && entry.state === button.state).map(({ weight }) => weight);
  const passed = shareAt({ at: fade.from, until: fade.until, from: 0, to: 1 }, now);
  const byTime = coming ? passed : 1 - passed;
  // Coming is as far as its latest part, going as far as what is still seen of it.
  const from = weights.length === 0 ? byTime : coming ? Math.min(...weights) : Math.max(...weights);
  return { at: now, until: fade.until, from, to: coming ? 1 : 0 };
}

export function shareAt({ at, until, from, to }: Fill, now: number): number {
  if (now >= until) return to;
  if (now <= at) return from;
  return from + ((to - from) * (now - at)) / (until - at);
}

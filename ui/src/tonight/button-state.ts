import type { ButtonState, State } from '../../../node/api/contract.ts';

const OFF = { state: 'off' } as const;
/** How a button stands, by what the node said last. */
export const buttonState = (now: State | undefined, id: string): Pick<ButtonState, 'state' | 'fade'> =>
  now?.buttons.find((button) => button.id === id) ?? OFF;

/**
 * Presses that wait for the node's answer. One is over when the node has said `done` and a state has come since it was sent: the
 * two travel apart, and between them the button must not fall back to what it showed before.
 */
export interface Waiting {
  /** Tells a press from a later one of the same button. */
  readonly token: number;
  readonly done: boolean;
  readonly stateCame: boolean;
}
export type WaitingList = ReadonlyMap<string, Waiting>;

export const sent = (list: WaitingList, button: string, token: number): WaitingList =>
  new Map(list).set(button, { token, done: false, stateCame: false });

export const done = (list: WaitingList, button: string, token: number): WaitingList =>
  changed(list, button, token, (waiting) => ({ ...waiting, done: true }));

/** Refused, unanswered, or answered long enough ago that no state will come. */
export const over = (list: WaitingList, button: string, token: number): WaitingList =>
  changed(list, button, token, () => undefined);

export function stateCame(list: WaitingList): WaitingList {
  if (list.size === 0) return list;
  return new Map(
    [...list].filter(([, waiting]) => !waiting.done).map(([button, waiting]) => [button, { ...waiting, stateCame: true }]),
  );
}

function changed(list: WaitingList, button: string, token: number, change: (waiting: Waiting) => Waiting | undefined): WaitingList {
  const waiting = list.get(button);
  if (waiting?.token !== token) return list;
  const after = new Map(list);
  const next = change(waiting);
  if (next === undefined || (next.done && next.stateCame)) after.delete(button);
  else after.set(button, next);
  return after;
}

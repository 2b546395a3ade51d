import { signal } from '@preact/signals';
import { connection } from '../connection.ts';
import { Throttle } from '../parts/throttle.ts';
import { type Hand, isIdle, nothing, wishOf } from './hand.ts';

/** What this page drives by hand now. Changed by {@link put} and {@link end} alone. */
export const hand = signal<Hand>(nothing);
/** Why driving by hand has ended without being asked to. */
export const ended = signal<string | undefined>(undefined);

/** A slider gives more than the node wants to hear: at most this often, in milliseconds, and the last value always. */
const SEND_EVERY = 60;
const wishes = new Throttle<Hand>(SEND_EVERY, (now) => {
  connection.byHand(wishOf(now)).catch((error: Error) => stopped(error.message));
});

export function put(next: Hand): void {
  hand.value = next;
  ended.value = undefined;
  wishes.push(next);
}

/** What this page drives has ended at the node already. */
export function stopped(why: string | undefined): void {
  if (isIdle(hand.peek())) return;
  wishes.drop();
  hand.value = nothing;
  ended.value = why;
}

/** Lets go of everything. The node does the same by itself when it hears of this page no more. */
export function end(why?: string): void {
  if (isIdle(hand.peek())) return;
  stopped(why);
  connection.byHand({}).catch(() => undefined);
}

/** What is driven by hand ends with the page, when it is hidden, and with the line, until the returned function is called; and then too. */
export function endWithPage(): () => void {
  const looked = (): void => {
    if (document.visibilityState !== 'visible') end('The page was hidden, so everything was let go.');
  };
  const leave = (): void => end('The page went away, so everything was let go.');
  document.addEventListener('visibilitychange', looked);
  addEventListener('pagehide', leave);
  const ends = [
    connection.onLost(() => end('The line to the node broke, so everything was let go.')),
    connection.onHandsLost((to) => stopped(`“${to}” has taken over by hand, so this phone has let go.`)),
  ];
  return () => {
    for (const one of ends) one();
    document.removeEventListener('visibilitychange', looked);
    removeEventListener('pagehide', leave);
    end();
  };
}

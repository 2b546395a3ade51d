import { effect, signal } from '@preact/signals';
import type { HeardAnswer, TakenLook } from '../../../../node/api/edit-contract.ts';
import type { Show } from '../../../../node/show/document.ts';
import { getHeard } from '../../api.ts';
import { isOpen } from '../../state.ts';
import { add } from '../things/acts.ts';
import { withStopped } from './stopped.ts';

/** Milliseconds between two questions: the picture follows what the other controller does. */
const EVERY = 1000;

/** What was not taken along into a look that has just been made, until another is. */
export const leftOf = signal<{ readonly id: string; readonly left: readonly string[] }>({ id: '', left: [] });

/** Makes a look that was taken from somewhere; it is open then, and says what is not in it. */
export async function takeLook(show: Show, name: string, { parts, left }: TakenLook): Promise<void> {
  const id = await add(show, 'look', name, { parts });
  if (id !== undefined) leftOf.value = { id, left };
}

/** Who else is heard; undefined before the first answer. */
export const heard = signal<HeardAnswer | undefined>(undefined);
/** The sender that was picked. */
export const picked = signal<string | undefined>(undefined);
/** What it sends: the last that came. */
export const takes = signal<TakenLook | undefined>(undefined);
export const noAnswer = signal<string | undefined>(undefined);

/** Asks again and again while the page is up. @returns what ends it */
export function listen(): () => void {
  heard.value = undefined;
  noAnswer.value = undefined;
  pick(undefined);
  let timer: number | undefined;
  /** Of the questions the newest alone counts, and goes on. */
  let newest = 0;
  let answeredAt = 0;
  const ask = async (): Promise<void> => {
    clearTimeout(timer);
    const own = ++newest;
    const of = picked.peek();
    if (isOpen.peek()) {
      try {
        const answer = await getHeard(of);
        if (own !== newest) return;
        noAnswer.value = undefined;
        const now = performance.now();
        heard.value = withStopped(answer, heard.peek(), now - answeredAt);
        answeredAt = now;
        if (answer.look !== undefined) takes.value = answer.look;
      } catch (error) {
        if (own !== newest) return;
        noAnswer.value = error instanceof Error ? error.message : String(error);
      }
    }
    if (own === newest) timer = window.setTimeout(() => void ask(), EVERY);
  };
  const follows = effect(() => {
    picked.value;
    isOpen.value;
    void ask();
  });
  return () => {
    newest = -1;
    clearTimeout(timer);
    follows();
    pick(undefined);
  };
}

export function pick(id: string | undefined): void {
  takes.value = undefined;
  picked.value = id;
}

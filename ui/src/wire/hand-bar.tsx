import { own } from '../../../node/core/own.ts';
import { Push } from '../parts/push.tsx';
import { hello, state } from '../state.ts';
import { handWords, isIdle } from './hand.ts';
import { end, ended, hand } from './held.ts';
import { nameOf } from './page.ts';

/** Stays in sight while anything is driven by hand, and says so when that has ended by itself. */
export function HandNotice() {
  const now = hand.value;
  const idle = isIdle(now);
  const words = idle ? ended.value : `Driven by hand: ${handWords(now, nameOf)}.`;
  if (words === undefined) return <div class="spoken" role="status" />;
  return (
    <div class={`wire-hand${idle ? ' over' : ''}`} role="status">
      <p>
        {words} {!idle && <Above />}
      </p>
      <Push onClick={idle ? () => (ended.value = undefined) : () => end()}>{idle ? 'Close' : 'Let go of all'}</Push>
    </div>
  );
}

/** What dims driving by hand too: nobody should look for a fault where there is none. */
export function Above({ use }: { readonly use?: string }) {
  const now = state.value;
  const group = hello.value?.show.uses.find((one) => one.use === use);
  if (now?.blackout === true) return <strong>Blackout stands above it: nothing lights up until you lift it.</strong>;
  if (now?.masters.all === 0)
    return <strong>“All lights” is at 0 % and stands above it: nothing lights up until you raise it.</strong>;
  if (group !== undefined && own(now?.masters.groups ?? {}, group.id) === 0)
    return <strong>“{group.name}” is at 0 % and stands above it: nothing of it lights up until you raise it.</strong>;
  return null;
}

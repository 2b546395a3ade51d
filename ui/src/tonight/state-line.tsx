import { playingInWords, watchInWords } from '../parts/words.ts';
import { hello, isOpen, link, role, state } from '../state.ts';

/** Milliseconds from which a thumb notices the way there and back. */
const SLOW = 250;

/** What is on, in words; under it, what becomes of it. */
export function StateLine() {
  const now = state.value;
  const show = hello.value?.show;
  if (now === undefined || show === undefined) return null;
  const on = playingInWords(now, show.buttons);
  const { trip } = link.value;
  const slow = isOpen.value && trip !== undefined && trip > SLOW;
  return (
    <div class="state-line">
      <p class="what">{on.length === 0 ? 'Nothing is on' : on.join(' · ')}</p>
      <p class="quiet">
        {show.demo && 'Demo. '}
        {slow ? `Slow network: ${Math.round(trip)} ms there and back.` : watchInWords(now)}
        {role.value === 'viewer' && ' This phone looks on.'}
      </p>
    </div>
  );
}

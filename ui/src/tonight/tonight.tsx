import './tonight.css';
import './show-button.css';
import './reach.css';
import { DarkNotice, FallenNotice, LineNotice, Troubles, WarnedNotice } from '../parts/announcements.tsx';
import { useWakeLock } from '../parts/wake-lock.ts';
import { playingInWords, watchInWords } from '../parts/words.ts';
import { settings } from '../settings.ts';
import { hello, isOpen, link, may, role, state } from '../state.ts';
import { Controls, LevelsPanel, wide } from './controls.tsx';
import { RoomPicture } from './room/picture.tsx';

/** Milliseconds from which a thumb notices the way there and back. */
const SLOW = 250;

/** What do guests see now, what comes next, where do I press? */
export function Tonight() {
  useWakeLock(settings.value.awake);
  const show = hello.value?.show;
  if (show === undefined || state.value === undefined) return <p class="opening">The node is here; its show is coming…</p>;
  return (
    <div class="tonight" data-role={hello.value?.you.role}>
      <h1 class="spoken">Tonight: {show.name}</h1>
      <div class="seen">
        <div class="room-place">
          <RoomPicture />
          <DarkNotice />
        </div>
        <LineNotice />
        <StateLine />
        <Troubles {...(wide.value ? {} : { most: 1 })} />
        {wide.value && may('master') && <LevelsPanel full />}
      </div>
      {may('press') ? <Controls key={show.id} /> : <Looking />}
    </div>
  );
}

/** What is on, in words; under it, what becomes of it. */
function StateLine() {
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

/** A viewer's half: what must be known, and nothing to press. */
const Looking = () => (
  <div class="control">
    <WarnedNotice />
    <FallenNotice />
  </div>
);

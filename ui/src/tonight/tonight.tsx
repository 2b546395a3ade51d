import { useEffect, useState } from 'preact/hooks';
import './tonight.css';
import './show-button.css';
import './reach.css';
import {
  CrewNotice,
  DarkNotice,
  FallenNotice,
  FlashesNotice,
  LasersNotice,
  LeftNotice,
  LineNotice,
  Troubles,
  WarnedNotice,
} from '../parts/announcements.tsx';
import { useScreenOn } from '../parts/screen-on.ts';
import { Room } from '../room/room.tsx';
import { settings } from '../settings.ts';
import { hasState, hello, may, notice } from '../state.ts';
import { Controls, laptop, More } from './controls.tsx';
import { HazeQuestion } from './haze-question.tsx';
import { SeenWords } from './seen-words.tsx';

/** What do guests see now, what comes next, where do I press? */
export function Tonight() {
  useScreenOn(settings.value.awake);
  const show = hello.value?.show;
  const first = useFirst(show?.id);
  if (show === undefined || !hasState.value) return <p class="opening">The node is here; its show is coming…</p>;
  return (
    <div class="tonight" data-role={hello.value?.you.role}>
      <h1 class="spoken">Tonight: {show.name}</h1>
      <div class="seen">
        <div class="room-place">
          <Room />
          {/* Over the picture, so that nothing moves under a thumb. */}
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: in large letters it scrolls, and a keyboard must reach what is below */}
          <section class="notices" aria-label="Notices" tabIndex={0}>
            <HazeQuestion />
            <LineNotice />
            <WarnedNotice />
            <FallenNotice />
            <Troubles most={1} />
            <LeftNotice />
            <CrewNotice />
            <LasersNotice />
            <FlashesNotice />
            <DarkNotice />
            <Said />
          </section>
        </div>
        <SeenWords />
        {laptop.value && may('master') && <More />}
      </div>
      {may('press') && (first ? <div class="control" /> : <Controls key={show.id} />)}
    </div>
  );
}

/** What goes by itself, of what did not go as asked. */
const Said = () =>
  notice.value === undefined ? null : (
    <p class="said" role="status">
      {notice.value}
    </p>
  );

/** True for a moment at the start: what is seen comes on the screen first, then what is pressed, and neither keeps the other waiting for long. */
function useFirst(show: string | undefined): boolean {
  const [first, setFirst] = useState(true);
  useEffect(() => {
    if (show === undefined) return;
    const timer = setTimeout(() => setFirst(false));
    return () => clearTimeout(timer);
  }, [show]);
  return first;
}

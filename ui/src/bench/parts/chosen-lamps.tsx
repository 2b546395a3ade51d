import { signal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type { Show } from '../../../../node/show/document.ts';
import { placeLamps } from '../../room/lamps.ts';
import { Room } from '../../room/room.tsx';
import { HEIGHT, WIDTH } from '../../room/shape.ts';
import { hello } from '../../state.ts';
import { lightsOf } from './lights.ts';
import { choosing } from './place.ts';

/** What the last touch did, in words. */
const said = signal('');

/** The room. While lights are chosen, those are ringed, and a touch on a lamp adds it or takes it out. */
export function RoomToChooseIn({ show }: { readonly show: Show }) {
  const now = choosing.value;
  const fixtures = hello.value?.show.fixtures;
  const lamps = useMemo(() => placeLamps(fixtures ?? []), [fixtures]);
  const meant = new Set(lightsOf(now?.who() ?? [], show).map(({ id }) => id));
  const touch = (light: number): void => {
    const touched = fixtures?.[light];
    if (touched === undefined || now === undefined) return;
    said.value = `${touched.name} ${meant.has(touched.id) ? 'taken out' : 'added'}`;
    now.touch(touched.id, show);
  };
  return (
    <>
      {/* The same picture all the time: another one would be painted anew. */}
      <Room {...(now === undefined ? {} : { onLamp: touch })} />
      <svg class="chosen-lamps" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
        {lamps
          .filter(({ light }) => meant.has(fixtures?.[light]?.id ?? ''))
          .map(({ light, x, y }) => (
            <circle key={light} cx={x} cy={y} r="4" />
          ))}
      </svg>
      <p class="spoken" role="status">
        {said.value}
      </p>
    </>
  );
}

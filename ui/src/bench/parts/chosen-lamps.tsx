import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useMemo } from 'preact/hooks';
import type { FixtureSummary } from '../../../../node/api/contract.ts';
import type { Show } from '../../../../node/show/document.ts';
import { placeLamps } from '../../room/lamps.ts';
import { HEIGHT, WIDTH } from '../../room/shape.ts';
import { lightsOf } from './lights.ts';
import { choosing } from './place.ts';

/** What the last touch did, in words. */
const said = signal('');

interface RoomToChooseInProps {
  readonly show: Show;
  /** The lamps that the room's picture has. */
  readonly fixtures: readonly Pick<FixtureSummary, 'id' | 'use' | 'head'>[];
  /** The picture itself, in which a lamp may be touched. */
  readonly room: (onLamp?: (light: number) => void) => ComponentChildren;
}

/** The room. While lights are chosen, those are ringed, and a touch on a lamp adds it or takes it out. */
export function RoomToChooseIn({ show, fixtures, room }: RoomToChooseInProps) {
  const now = choosing.value;
  const lamps = useMemo(() => placeLamps(fixtures), [fixtures]);
  const meant = new Set(lightsOf(now?.who() ?? [], show).map(({ id }) => id));
  const touch = (light: number): void => {
    const touched = fixtures[light];
    if (touched === undefined || now === undefined) return;
    said.value = `${show.fixtures.find(({ id }) => id === touched.id)?.name ?? touched.id} ${meant.has(touched.id) ? 'taken out' : 'added'}`;
    now.touch(touched.id, show);
  };
  return (
    <>
      {/* The same picture all the time: another one would be painted anew. */}
      {room(now === undefined ? undefined : touch)}
      <svg class="chosen-lamps" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
        {lamps
          .filter(({ light }) => meant.has(fixtures[light]?.id ?? ''))
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

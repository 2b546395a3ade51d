import { isLaser } from '../rig/is-laser.ts';
import type { Rig } from '../rig/rig.ts';
import { darken } from './blackout.ts';
import { type Grouped, type Guard, noMemory } from './guard.ts';

/** Lasers are closed until a person has armed them for this run; who may, and what ends it, is the state's business. */
export function laser(_show: Grouped, rig: Rig): Guard<undefined> {
  const lasers = rig.fixtures.flatMap((fixture, place) =>
    isLaser(fixture)
      ? [
          {
            place,
            close: darken(
              rig,
              fixture.lamps.flatMap(({ cells }) => [...cells.values()]),
            ),
          },
        ]
      : [],
  );
  const held = new Set<number>();
  return {
    name: 'laser',
    memory: noMemory,
    step(frame, instant): boolean {
      held.clear();
      if (instant.lasers) return false;
      for (const { place, close } of lasers) if (close(frame)) held.add(place);
      return held.size > 0;
    },
    held: () => held,
  };
}

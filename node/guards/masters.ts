import { attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Rig } from '../fixtures/rig.ts';
import type { Show } from '../show/document.ts';
import type { Guard, Instant } from './guard.ts';

/** Scales every amount of light by the master of all and by the masters of the groups that the fixture is in. */
export function masters(show: Show, rig: Rig): Guard {
  const scaled = rig.fixtures.flatMap((fixture) => {
    const groups = show.groups.filter((group) => group.fixtures.includes(fixture.id)).map(({ id }) => id);
    return [...fixture.cells].filter(([name]) => attribute(name).intensity).map(([, cell]) => ({ cell, groups }));
  });
  return {
    name: 'masters',
    apply(frame: Frame, instant: Instant): void {
      for (const { cell, groups } of scaled) {
        let level = instant.all;
        for (const group of groups) level *= instant.group(group);
        frame[cell] = (frame[cell] as number) * level;
      }
    },
  };
}

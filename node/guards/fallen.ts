import type { Rig } from '../rig/rig.ts';
import { force, type Grouped, type Guard, noMemory } from './guard.ts';
import { airingsOf } from './haze.ts';

/**
 * After the fallback, for as long as nobody presses anything, while what plays is left to the node, and while the crew works: no haze, no strobe,
 * nothing that turns, whoever asks for it.
 */
export function fallen(_show: Grouped, rig: Rig): Guard<undefined> {
  const cells = new Set([...rig.needPerson, ...airingsOf(rig).map(({ cell }) => cell)]);
  return {
    name: 'fallback',
    memory: noMemory,
    step(frame, instant): boolean {
      if (!instant.fallen && !instant.left && !instant.crew) return false;
      let acted = false;
      for (const cell of cells) if (force(frame, cell, rig.rest[cell] as number)) acted = true;
      return acted;
    },
  };
}

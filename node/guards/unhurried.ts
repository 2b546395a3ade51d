import type { Rig } from '../rig/rig.ts';
import { force, type Grouped, type Guard, noMemory } from './guard.ts';

/** Degrees a second that a head turns at most while nobody looks on: a slow pan. A careful choice of ours, no source. */
const SLOWLY = 20;

export interface HeadMemory {
  /** When it last acted on the angles, and where they were; not a number: not known. */
  at: number;
  readonly angles: Float64Array;
}

/**
 * While what plays is left to the node heads turn slowly, whatever plays.
 * Once somebody is there again they go where they should be at once.
 */
export function unhurried(_show: Grouped, { attributeOf }: Rig): Guard<HeadMemory | undefined> {
  const cells = Uint32Array.from(attributeOf.flatMap((name, cell) => (name === 'Pan' || name === 'Tilt' ? [cell] : [])));
  if (cells.length === 0) return { name: 'unhurried', memory: noMemory, step: () => false };
  return {
    name: 'unhurried',
    memory: () => ({ at: Number.NaN, angles: new Float64Array(cells.length).fill(Number.NaN) }),
    step(frame, { now, left }, memory): boolean {
      if (memory === undefined) return false;
      const most = (SLOWLY * Math.max(0, now - memory.at)) / 1000;
      memory.at = now;
      let acted = false;
      for (let i = 0; i < cells.length; i++) {
        const cell = cells[i] as number;
        const wanted = frame[cell] as number;
        const before = memory.angles[i] as number;
        const step = left ? Math.min(most, Math.max(-most, wanted - before)) : wanted - before;
        const angle = Number.isNaN(step) ? wanted : before + step;
        memory.angles[i] = angle;
        if (left && force(frame, cell, angle)) acted = true;
      }
      return acted;
    },
  };
}

import type { Frame } from '../core/frame.ts';
import type { Rig } from '../rig/rig.ts';
import { force, type Grouped, type Guard, noMemory } from './guard.ts';

/**
 * Puts every light out and stops the haze. Pan, tilt, colour and gobo stay, so nothing swings in the dark and light returns where it was.
 * `of` some cells, or of all. What it gives says whether that changed anything.
 */
export function darken(
  { atBlackout }: Pick<Rig, 'atBlackout'>,
  of: Iterable<number> = atBlackout.keys(),
): (frame: Frame) => boolean {
  const cells = Uint32Array.from(of).filter((cell) => !Number.isNaN(atBlackout[cell]));
  return (frame) => {
    let acted = false;
    for (const cell of cells) if (force(frame, cell, atBlackout[cell] as number)) acted = true;
    return acted;
  };
}

/** The last guard: nothing lights a blacked-out rig. */
export function blackout(_show: Grouped, rig: Rig): Guard<undefined> {
  const dark = darken(rig);
  return { name: 'blackout', memory: noMemory, step: (frame, instant) => instant.blackout && dark(frame) };
}

import { attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Rig } from '../rig/rig.ts';
import type { Grouped, Guard, Instant } from './guard.ts';

/** Puts every light out and stops the haze. Pan, tilt, colour and gobo stay, so nothing swings in the dark and light returns where it was. */
export function darken(rig: Rig): (frame: Frame) => void {
  const forced = rig.attributeOf.flatMap((name, cell) => {
    const { atBlackout } = attribute(name);
    return atBlackout === 'keep' ? [] : [{ cell, value: atBlackout }];
  });
  return (frame) => {
    for (const { cell, value } of forced) frame[cell] = value;
  };
}

/** The last guard: nothing lights a blacked-out rig. */
export function blackout(_show: Grouped, rig: Rig): Guard {
  const dark = darken(rig);
  return {
    name: 'blackout',
    apply(frame: Frame, instant: Instant): void {
      if (instant.blackout) dark(frame);
    },
  };
}

import type { Frame } from '../core/frame.ts';
import type { Rig } from '../rig/rig.ts';
import type { Grouped, Guard, Instant } from './guard.ts';

/** After the fallback, for as long as nobody presses anything: no haze, no strobe, nothing that turns, whoever asks for it. */
export function fallen(_show: Grouped, rig: Rig): Guard {
  return {
    name: 'fallback',
    apply(frame: Frame, instant: Instant): void {
      if (!instant.fallen) return;
      for (const cell of rig.needPerson) frame[cell] = rig.rest[cell] as number;
    },
  };
}

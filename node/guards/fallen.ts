import { attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Rig } from '../rig/rig.ts';
import type { Show } from '../show/document.ts';
import type { Guard, Instant } from './guard.ts';

/** After the fallback, for as long as nobody presses anything: no haze, no strobe, nothing that turns, whoever asks for it. */
export function fallen(_show: Show, rig: Rig): Guard {
  const cells = rig.attributeOf.flatMap((name, cell) => (attribute(name).needsPerson ? [cell] : []));
  return {
    name: 'fallback',
    apply(frame: Frame, instant: Instant): void {
      if (!instant.fallen) return;
      for (const cell of cells) frame[cell] = rig.rest[cell] as number;
    },
  };
}

import type { AttributeName } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Rig } from '../rig/rig.ts';
import type { Show } from '../show/document.ts';
import type { Guard, Instant } from './guard.ts';

/** What may not go on once nobody is there to stop it, whoever asked for it: haze, strobing, turning lenses and heads. */
const stopped: readonly AttributeName[] = ['Haze1', 'Shutter1Strobe', 'PanRotate', 'Gobo1PosRotate', 'Prism1PosRotate'];

/** After the fallback: no haze, no strobe, nothing that turns, not even in what runs unattended. */
export function fallen(_show: Show, rig: Rig): Guard {
  const cells = rig.attributeOf.flatMap((name, cell) => (stopped.includes(name) ? [cell] : []));
  return {
    name: 'fallback',
    apply(frame: Frame, instant: Instant): void {
      if (!instant.fallen) return;
      for (const cell of cells) frame[cell] = rig.rest[cell] as number;
    },
  };
}

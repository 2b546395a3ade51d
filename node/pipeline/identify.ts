import type { AttributeName } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Rig } from '../rig/rig.ts';

/** A fixture in open white at full, so that a person at its foot sees which one it is. It still passes every guard. */
const litUp = [
  ['Dimmer', 1],
  ['ColourL', 1],
  ['ColourA', 0],
  ['ColourB', 0],
  ['Shutter1', 1],
  ['Shutter1Strobe', 0],
  ['Color1', 1],
  ['Gobo1', 1],
] as const satisfies readonly (readonly [AttributeName, number])[];

export function identify(rig: Rig, fixture: string, frame: Frame): void {
  for (const { cells } of rig.byId.get(fixture)?.lamps ?? []) {
    for (const [name, value] of litUp) {
      const cell = cells.get(name);
      if (cell !== undefined) frame[cell] = value;
    }
  }
}

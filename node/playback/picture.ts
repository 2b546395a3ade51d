import type { Universe } from '../core/units.ts';
import { type Show, showDocument } from '../show/document.ts';
import { type CompiledShow, compileShow } from './compile.ts';

/** Slots of one universe, slot 1 at index 0. */
export interface PictureSlots {
  readonly universe: Universe;
  readonly slots: Uint8Array;
}

/** What is played where no show is left: no lamp is known, so the slots stand as they are, and only a blackout changes them. */
export function pictureShow(picture: readonly PictureSlots[], name: string): CompiledShow {
  const empty: Show = showDocument.parse({
    format: 'duskhand-show',
    version: 2,
    id: 'no-show',
    name,
    theme: { name: 'None', colours: [] },
    fixtures: [],
    looks: [],
    buttons: [],
  });
  const compiled = compileShow(empty);
  const universes = picture.map(({ universe }) => universe).sort((a, b) => a - b);
  return { ...compiled, rig: { ...compiled.rig, universes }, picture };
}

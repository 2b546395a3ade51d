import type { Rig } from '../rig/rig.ts';
import { type Show, showDocument } from '../show/document.ts';
import { type CompiledShow, compileShow, type PictureSlots, type Playbook } from './compile.ts';
import { isHit } from './fallback.ts';
import type { PlayState } from './state.ts';

/** What is played where no show is left: no lamp is known, so the slots stand as they are, and only a blackout changes them. */
export function pictureShow(picture: readonly PictureSlots[], name: string): CompiledShow {
  const empty: Show = showDocument.parse({
    format: 'duskhand-show',
    version: 4,
    id: 'no-show',
    name,
    theme: { name: 'None', colours: [] },
    fixtures: [],
    looks: [],
    buttons: [],
  });
  const compiled = compileShow(empty);
  return { ...compiled, rig: withPicture(compiled.rig, { picture }), picture };
}

/** A rig without lamps has the universes of its picture. */
export function withPicture(rig: Rig, { picture }: { readonly picture?: readonly PictureSlots[] }): Rig {
  return picture === undefined ? rig : { ...rig, universes: picture.map(({ universe }) => universe).sort((a, b) => a - b) };
}

/**
 * What plays, as it may be repeated with nobody there: no hit, no strobe, no haze, nothing that turns; lit though it is blacked out now, for
 * a blackout that ends must bring light back.
 */
export const withNobodyThere = (show: Playbook, state: PlayState): PlayState => ({
  ...state,
  entries: state.entries.filter((entry) => !isHit(show, entry)),
  blackout: false,
  alone: true,
});

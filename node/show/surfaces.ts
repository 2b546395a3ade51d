import type { Band } from '../core/remote.ts';
import type { Show } from './document.ts';

export type Use = Show['fixtures'][number]['use'];

/** Where the light of a use falls in the room, and what people call that. */
const surfaces: Readonly<Record<Use, readonly [Band, name: string]>> = {
  uplight: ['walls', 'Walls'],
  facade: ['walls', 'Facade'],
  totem: ['walls', 'Totems'],
  'ceiling wash': ['ceiling', 'Ceiling'],
  texture: ['ceiling', 'Texture'],
  centrepiece: ['ceiling', 'Centrepiece'],
  'dance wash': ['floor', 'Dance floor'],
  spot: ['air', 'Spots'],
  beam: ['air', 'Beams'],
  blinder: ['air', 'Blinders'],
  haze: ['air', 'Haze'],
  laser: ['air', 'Lasers'],
};

export const bandOf = (use: Use): Band => surfaces[use][0];

/** What people call its light, where a show calls it nothing else. */
export const surfaceName = (use: Use): string => surfaces[use][1];

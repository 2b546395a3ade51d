import { oklabToLinear, toEncoded } from '../light/oklab.ts';
import type { Rig } from '../rig/rig.ts';
import type { Show } from '../show/document.ts';
import { Colours, SEEN } from './colours.ts';

/** A kind of lamp that cannot give a colour. */
export interface OutOfReach {
  /** Of its type. */
  readonly name: string;
  readonly count: number;
  /** What it shows instead, as bright as a screen can: packed 0xRRGGBB in sRGB. */
  readonly nearest: number;
}

/** The lamps of a rig that cannot give a colour, by kind, and what they show in its place; as notes on buttons have it. Only lamps that mix from emitters are asked. */
export function outOfReach(theme: Show['theme'], { fixtures }: Rig, text: string): OutOfReach[] {
  const colours = new Colours(theme);
  const colour = colours.read(text);
  if (colour === undefined) return [];
  const kinds = new Map<string, OutOfReach>();
  for (const fixture of fixtures) {
    const { id, name } = fixture.type;
    const off = fixture.lamps.map((lamp) => ({ lamp, by: colours.off(colour, fixture, lamp) })).find(({ by }) => by > SEEN);
    if (off === undefined) continue;
    const known = kinds.get(id);
    const nearest = known?.nearest ?? packedOf(colours.worn(colour, fixture, off.lamp, Number.POSITIVE_INFINITY));
    kinds.set(id, { name, count: (known?.count ?? 0) + 1, nearest });
  }
  return [...kinds.values()];
}

function packedOf(oklab: readonly [number, number, number]): number {
  const linear = new Float64Array(3);
  oklabToLinear(oklab, 0, linear);
  const parts = Array.from(linear, (part) => Math.max(0, part));
  const most = Math.max(...parts, 1e-9);
  return parts.reduce((sum, part) => sum * 256 + Math.round(255 * toEncoded(part / most)), 0);
}

import { converter } from 'culori';

const toXyz = converter('xyz65');
const toLab = converter('lab65');

/** The light of a level by culori's CIE Lab (CIE 15), which shares no code with ours: a level is L* / 100. */
export const lightOf = (level: number): number => toXyz({ mode: 'lab65', l: 100 * level, a: 0, b: 0 }).y;
/** The level that gives a share of light, to twelve places: the rounding of the library's matrices must not make more than 1 of it. */
export function levelOf(light: number): number {
  const { l } = toLab({ mode: 'xyz65', x: light * (0.3127 / 0.329), y: light, z: light * (0.3583 / 0.329) });
  return Math.round(l * 1e10) / 1e12;
}
/** What a channel of 8 bits of a lamp whose light goes with its value has at a level. */
export const slotAt = (level: number): number => Math.round(255 * lightOf(level));

import type { Triple } from '../core/vector.ts';
import { colourInWords } from './colour-words.ts';
import { difference } from './difference.ts';
import { linearToXyz, toEncoded, toLinear, xyToLinear } from './oklab.ts';
import { planckian } from './temperature.ts';

/** Light no further than this by CIEDE2000 from a colour may go by its name: seen in a room, not side by side. Common practice, no source. */
const NEAR = 6;
/**
 * Within this the client's name holds, whatever white is nearer still: lamps that are asked for a colour miss it by less. Further off the
 * nearer counts, or a hit of plain white would go by a pale colour of the client's.
 */
const SAME = 2;
/**
 * Whites by their colour temperature in kelvin, close enough that light between two of them is near one. Warm is below 3300 K (EN 12464-1,
 * from memory); candlelight and cool white as shops call them.
 */
const whites: readonly (readonly [kelvin: number, name: string])[] = [
  [2000, 'candlelight'],
  [2200, 'candlelight'],
  [2450, 'warm white'],
  [2700, 'warm white'],
  [3000, 'warm white'],
  [3250, 'warm white'],
  [3500, 'white'],
  [4000, 'white'],
  [4500, 'white'],
  [5000, 'white'],
  [5700, 'white'],
  [6500, 'white'],
  [8000, 'cool white'],
  [10_000, 'cool white'],
];
/** Names that are remembered: a night has fewer. */
const MOST_REMEMBERED = 4096;

/** A colour by its name. How bright it is does not count. */
interface Named {
  readonly name: string;
  readonly xyz: Triple;
}

/** Calls colours as the client does, where one of the client's is near; else by the plainest name that is true. */
export class ColourNames {
  readonly #theme: readonly Named[];
  readonly #known = new Map<number, string>();

  /** @param theme the client's colours, by their CIE 1931 chromaticity */
  constructor(theme: readonly { readonly name: string; readonly at: readonly [x: number, y: number] }[]) {
    this.#theme = theme.map(({ name, at }) => ({ name: name.toLowerCase(), xyz: linearToXyz(xyToLinear(...at)) }));
  }

  /** @param packed 0xRRGGBB in sRGB; not 0, which is dark */
  nameOf(packed: number): string {
    const known = this.#known.get(packed);
    if (known !== undefined) return known;
    const linear = [packed >> 16, (packed >> 8) & 255, packed & 255].map((part) => toLinear(part / 255));
    const most = Math.max(...linear);
    const full = linear.map((part) => part / most) as unknown as Triple;
    const xyz = linearToXyz(full);
    const bright = full.reduce((sum, part) => sum * 256 + Math.round(255 * toEncoded(part)), 0);
    const [own, white] = [nearestOf(this.#theme, xyz), nearestOf(plainWhites, xyz)];
    const isOwn = own !== undefined && (own.apart < SAME || own.apart <= (white?.apart ?? NEAR));
    const name = (isOwn ? own : white)?.name ?? colourInWords(bright);
    if (this.#known.size >= MOST_REMEMBERED) this.#known.clear();
    this.#known.set(packed, name);
    return name;
  }
}

const plainWhites: readonly Named[] = whites.map(([kelvin, name]) => ({
  name,
  xyz: linearToXyz(xyToLinear(...planckian(kelvin))),
}));

/** The nearest, where that is near enough. */
function nearestOf(among: readonly Named[], xyz: Triple): { readonly name: string; readonly apart: number } | undefined {
  const [nearest] = among
    .map(({ name, xyz: other }) => ({ name, apart: difference(xyz, other) }))
    .sort((a, b) => a.apart - b.apart);
  return nearest !== undefined && nearest.apart < NEAR ? nearest : undefined;
}

import type { Triple } from '../core/vector.ts';
import { difference } from './difference.ts';
import { linearToOklab, linearToXyz, oklabToLinear, toEncoded, toLinear } from './oklab.ts';

/** Colours that are proposed at most. */
const MOST = 5;
/** Below this of 255 a pixel is too dark for its colour to be told from noise. */
const DARKEST = 28;
/** Edge of the cells of Oklab in which pixels are gathered first: less than an eye tells apart from afar. */
const CELL = 0.02;
/** Groups that are looked for, and how far apart in Oklab two of them begin at least. More than are proposed, so that a small accent has its own. */
const GROUPS = 14;
const APART = 0.06;
const ROUNDS = 24;
/** Two proposals nearer than this by CIEDE2000 are one: light that near goes by one name (`colour-names.ts`). */
const SAME = 6;
/** Share of the picture below which a colour is an accident. */
const LEAST = 0.004;
/** Oklab chroma at which a colour counts as fully coloured. A choice of ours: a strong flower beside a grey wall. */
const STRONG = 0.16;
/** What a plain white or grey counts beside that. */
const PLAIN = 0.25;

/** A colour of a picture as light would show it: as bright as can be. */
export interface PhotoColour {
  /** Packed 0xRRGGBB in sRGB, its largest part 255. */
  readonly packed: number;
  /** Of what is not dark, 0..1. */
  readonly share: number;
}

interface Gathered {
  weight: number;
  readonly sum: [number, number, number];
}

interface Group {
  readonly at: Triple;
  readonly weight: number;
}

/**
 * The colours of a picture that a theme can be made of, the most telling first. Lamps give colour and brightness apart, so a colour counts by
 * itself and not by how it was lit: what lies in the shade is the same colour. Groups are found by k-means (Lloyd) in Oklab, from starts that are
 * chosen and not drawn, so the same picture gives the same colours.
 * @param rgba pixels as a canvas gives them, four numbers of 0..255 each
 */
export function photoColours(rgba: ArrayLike<number>): PhotoColour[] {
  const points = gather(rgba);
  const total = points.reduce((sum, { weight }) => sum + weight, 0);
  const groups = merged(settled(points, starts(points))).filter(({ weight }) => weight >= LEAST * total);
  const telling = ({ at: [, a, b], weight }: Group): number => weight * (PLAIN + Math.min(1, Math.hypot(a, b) / STRONG));
  return groups
    .sort((one, other) => telling(other) - telling(one))
    .slice(0, MOST)
    .map(({ at, weight }) => ({ packed: packedOf(at), share: weight / total }));
}

/** Pixels at their brightest, gathered in cells; a bright one counts more, as its colour is surer. */
function gather(rgba: ArrayLike<number>): Group[] {
  const cells = new Map<string, Gathered>();
  for (let i = 0; i + 3 < rgba.length; i += 4) {
    const [red = 0, green = 0, blue = 0, alpha = 0] = [rgba[i], rgba[i + 1], rgba[i + 2], rgba[i + 3]];
    const most = Math.max(red, green, blue);
    if (most < DARKEST || alpha < 128) continue;
    const linear = [red, green, blue].map((part) => toLinear(part / 255));
    const brightest = toLinear(most / 255);
    const at = linearToOklab(linear.map((part) => part / brightest) as unknown as Triple);
    const key = at.map((part) => Math.round(part / CELL)).join();
    const cell = cells.get(key) ?? { weight: 0, sum: [0, 0, 0] };
    const weight = most / 255;
    cell.weight += weight;
    for (let k = 0; k < 3; k++) cell.sum[k] = (cell.sum[k] as number) + (at[k] as number) * weight;
    cells.set(key, cell);
  }
  return [...cells.values()].map(({ weight, sum: [L, a, b] }) => ({ weight, at: [L / weight, a / weight, b / weight] }));
}

const squared = (one: Triple, other: Triple): number =>
  (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 + (one[2] - other[2]) ** 2;

/** The heaviest cell, then always the one that is furthest from those before, weighed by how much there is of it. */
function starts(points: readonly Group[]): Triple[] {
  const chosen: Triple[] = [];
  const nearest = points.map(() => Number.POSITIVE_INFINITY);
  while (chosen.length < GROUPS) {
    let best = -1;
    let most = 0;
    for (const [i, { weight }] of points.entries()) {
      const far = Math.min(1, nearest[i] as number);
      const worth = far < APART ** 2 ? 0 : Math.sqrt(weight) * (chosen.length === 0 ? Math.sqrt(weight) : far);
      if (worth > most) [best, most] = [i, worth];
    }
    const next = points[best]?.at;
    if (next === undefined) return chosen;
    chosen.push(next);
    for (const [i, { at }] of points.entries()) nearest[i] = Math.min(nearest[i] as number, squared(at, next));
  }
  return chosen;
}

/** Each point goes to the group that is nearest, each group to the middle of its points, until nothing moves. */
function settled(points: readonly Group[], from: readonly Triple[]): Group[] {
  let groups: Group[] = from.map((at) => ({ at, weight: 0 }));
  for (let round = 0; round < ROUNDS; round++) {
    const sums = groups.map(() => ({ weight: 0, sum: [0, 0, 0] as [number, number, number] }));
    for (const { at, weight } of points) {
      let own = 0;
      for (let i = 1; i < groups.length; i++)
        if (squared(at, (groups[i] as Group).at) < squared(at, (groups[own] as Group).at)) own = i;
      const sum = sums[own];
      if (sum === undefined) continue;
      sum.weight += weight;
      for (let k = 0; k < 3; k++) sum.sum[k] = (sum.sum[k] as number) + (at[k] as number) * weight;
    }
    const next = sums
      .filter(({ weight }) => weight > 0)
      .map(({ weight, sum: [L, a, b] }): Group => ({ weight, at: [L / weight, a / weight, b / weight] }));
    const still = next.length === groups.length && next.every(({ at }, i) => squared(at, (groups[i] as Group).at) < 1e-8);
    groups = next;
    if (still) break;
  }
  return groups;
}

/** Those that an eye would call the same become one, in their common middle, the nearest two first. */
function merged(groups: readonly Group[]): Group[] {
  const left = [...groups];
  for (;;) {
    let pair: readonly [number, number] | undefined;
    let least = SAME;
    for (let i = 0; i < left.length; i++)
      for (let k = i + 1; k < left.length; k++) {
        const apart = difference(xyzOf((left[i] as Group).at), xyzOf((left[k] as Group).at));
        if (apart < least) [pair, least] = [[i, k], apart];
      }
    if (pair === undefined) return left;
    const [one, other] = pair.map((i) => left[i]) as [Group, Group];
    const weight = one.weight + other.weight;
    const middle = one.at.map((part, k) => (part * one.weight + (other.at[k] as number) * other.weight) / weight);
    left.splice(pair[1], 1);
    left.splice(pair[0], 1, { weight, at: middle as unknown as Triple });
  }
}

const linear = new Float64Array(3);
function linearOf(at: Triple): Triple {
  oklabToLinear(at, 0, linear);
  return [...linear].map((part) => Math.max(0, part)) as unknown as Triple;
}
const xyzOf = (at: Triple): Triple => linearToXyz(linearOf(at));

function packedOf(at: Triple): number {
  const rgb = linearOf(at);
  const most = Math.max(...rgb, 1e-9);
  return rgb.reduce((sum, part) => sum * 256 + Math.round(255 * toEncoded(part / most)), 0);
}

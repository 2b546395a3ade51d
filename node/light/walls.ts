import { cross, dot, perpendicular, plus, scaled, size, type Triple, unit } from '../core/vector.ts';

/**
 * The walls of the solid that strokes from 0 span, each stroke 0..1 of itself (a zonohedron; Coxeter, Regular Polytopes, section 2.8). A wall
 * is spanned by two strokes, or by all that lie in the plane of two; every other stroke is full or out there, by the side that it lies on. To
 * each plane belong two walls, one on either side: on one the strokes before the plane are full, on the other those behind it.
 */
export interface Wall {
  /** Across the wall, of length 1. */
  readonly normal: Triple;
  /** How far the wall before the plane is from 0, and the one behind it. */
  readonly before: number;
  readonly behind: number;
  /** By stroke: 1 before the plane, -1 behind it, 0 in it. */
  readonly sides: Int8Array;
  /** Parallelograms that the wall is laid with; none where no stroke lies in it. */
  readonly tiles: readonly Tile[];
}

/** A part of a wall where the same strokes are full and the same, two or one, between. */
export interface Tile {
  readonly strokes: readonly Stroke[];
  /** Strokes in the plane that are full. */
  readonly full: readonly number[];
}

/** How much of a stroke leads to a point p of a tile: p · towards, less what the full strokes bring (on the wall before, or behind). */
export interface Stroke {
  readonly of: number;
  readonly towards: Triple;
  readonly before: number;
  readonly behind: number;
}

/** Sine of the angle to a plane below which a stroke lies in it. */
const FLAT = 1e-8;

/** Planes through 0 that hold all strokes: none for a solid, one for strokes in a plane, two for a single one. Each by its normal. */
export function planesOf(strokes: readonly Triple[]): Triple[] {
  const [first, second] = strokes;
  if (first === undefined) return [];
  if (second === undefined) {
    const across = perpendicular(first);
    return [across, unit(cross(first, across))];
  }
  const normal = unit(cross(first, second));
  return strokes.every((one) => inPlane(normal, one)) ? [normal] : [];
}

/** No two of the strokes in one direction. */
export function wallsOf(strokes: readonly Triple[], planes: readonly Triple[]): Wall[] {
  const [plane, other] = planes;
  if (other !== undefined) return strokes.map((one) => wallWith(unit(one), strokes, []));
  if (plane !== undefined) return strokes.map((one, i) => wallWith(unit(cross(one, plane)), strokes, [[i]]));
  const walls: Wall[] = [];
  const laid = new Set<string>();
  for (let i = 0; i < strokes.length; i++) {
    for (let j = i + 1; j < strokes.length; j++) {
      if (laid.has(`${i} ${j}`)) continue;
      const normal = unit(cross(strokes[i] as Triple, strokes[j] as Triple));
      const within = [...strokes.keys()].filter((k) => k === i || k === j || inPlane(normal, strokes[k] as Triple));
      const pairs = within.flatMap((a, n) => within.slice(n + 1).map((b) => [a, b]));
      for (const pair of pairs) laid.add(pair.join(' '));
      walls.push(wallWith(normal, strokes, pairs));
    }
  }
  return walls;
}

const inPlane = (normal: Triple, stroke: Triple): boolean => Math.abs(dot(normal, stroke)) <= FLAT * size(stroke);

/** `spans`: the strokes that are between in each tile. */
function wallWith(normal: Triple, strokes: readonly Triple[], spans: readonly (readonly number[])[]): Wall {
  const flat = new Set(spans.flat());
  const heights = strokes.map((one, k) => (flat.has(k) ? 0 : dot(normal, one)));
  const sides = Int8Array.from(heights, Math.sign);
  const sum = (of: readonly Triple[]): Triple => of.reduce(plus, [0, 0, 0]);
  const before = sum(strokes.filter((_, k) => sides[k] === 1));
  const behind = sum(strokes.filter((_, k) => sides[k] === -1));
  const tiles = spans.map((span): Tile => {
    const full = [...flat].filter((k) => !span.includes(k) && isBetween(normal, strokes, span, k));
    const laid = sum(full.map((k) => strokes[k] as Triple));
    return {
      full,
      strokes: span.map((of): Stroke => {
        const towards = towardsOf(normal, strokes, span, of);
        return { of, towards, before: dot(towards, plus(before, laid)), behind: dot(towards, plus(behind, laid)) };
      }),
    };
  });
  return { normal, before: dot(normal, before), behind: -dot(normal, behind), sides, tiles };
}

/** The direction in the wall by which a stroke is measured and the other one of the tile is not. */
function towardsOf(normal: Triple, strokes: readonly Triple[], span: readonly number[], of: number): Triple {
  const own = strokes[of] as Triple;
  const other = span.find((one) => one !== of);
  const across = other === undefined ? own : cross(strokes[other] as Triple, normal);
  return scaled(across, 1 / dot(across, own));
}

/**
 * Which strokes of a plane are full beside a tile: those that lie between its two. So laid, tiles fill the wall and meet without a gap (a
 * fine tiling of a zonogon, as strokes are lifted to a curve that bends downwards), and levels change evenly from one to the next.
 */
function isBetween(normal: Triple, strokes: readonly Triple[], [i = 0, j = 0]: readonly number[], k: number): boolean {
  const [from, to, one] = [strokes[i] as Triple, strokes[j] as Triple, strokes[k] as Triple];
  return dot(cross(from, one), normal) * dot(cross(one, to), normal) > 0;
}

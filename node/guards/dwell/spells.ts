import type { Millis } from '../../core/units.ts';

/*
 * How long each place of a floor has been lit by a beam: in cells of a quarter of a metre, the longest unbroken spell, a break of less than a second
 * bridged. Plain data: for each place that is looked at along a beam a square of cells, in which one stands where its numbers leave it.
 */

/** Metres. */
export const CELL = 0.25;
/** A cell that is not lit for so long has had its rest. */
export const BRIDGED: Millis = 1000;

/** Cells along a side of the square: over 4 m and more, so that what is lit within a second does not meet itself but by a beam that is far from resting. */
const SIDE = 16;
const SLOTS = SIDE * SIDE;
/** A wider beam is looked at in larger cells: so many across it at so many metres from the lens, and at most so many anywhere. */
const ACROSS = 6;
const USUAL_FAR = 4;
const MOST_ACROSS = 12;

/**
 * How often the side of a cell is doubled for a beam that widens by this slope. It depends on the beam alone, so that one that comes a little nearer and goes
 * again does not begin anew.
 */
export const doublings = (slope: number): number => Math.max(0, Math.ceil(Math.log2((2 * slope * USUAL_FAR) / ACROSS / CELL)));

export interface Spells {
  /** Number of the cell in each slot; not a number: none. */
  readonly cells: Float64Array;
  readonly since: Float64Array;
  readonly last: Float64Array;
}

/** @param squares one for each place along each beam */
export const noSpells = (squares: number): Spells => ({
  cells: new Float64Array(squares * SLOTS).fill(Number.NaN),
  since: new Float64Array(squares * SLOTS),
  last: new Float64Array(squares * SLOTS),
});

/** Takes over what is known of some squares. */
export function carrySpells(from: Spells, first: number, to: Spells, at: number, count: number): void {
  for (const key of ['cells', 'since', 'last'] as const)
    to[key].set(from[key].subarray(first * SLOTS, (first + count) * SLOTS), at * SLOTS);
}

/**
 * Lights a round of the floor by a beam.
 * @param least doublings of the side of a cell; where the round is too wide for them there are more
 * @param begun what a cell counts from that was not lit before
 * @returns since when the cell has been lit that has been longest
 */
export function light(
  spells: Spells,
  square: number,
  x: number,
  y: number,
  radius: number,
  least: number,
  now: Millis,
  begun: Millis,
): Millis {
  let doubled = least;
  while ((2 * radius) / (CELL * 2 ** doubled) > MOST_ACROSS) doubled++;
  const cell = CELL * 2 ** doubled;
  let longest = now;
  const [firstX, lastX] = [Math.floor((x - radius) / cell), Math.floor((x + radius) / cell)];
  const [firstY, lastY] = [Math.floor((y - radius) / cell), Math.floor((y + radius) / cell)];
  for (let i = firstX; i <= lastX; i++)
    for (let j = firstY; j <= lastY; j++) {
      const [dx, dy] = [x - Math.min((i + 1) * cell, Math.max(i * cell, x)), y - Math.min((j + 1) * cell, Math.max(j * cell, y))];
      if (dx * dx + dy * dy > radius * radius) continue;
      longest = Math.min(
        longest,
        touch(spells, square * SLOTS + (i & (SIDE - 1)) * SIDE + (j & (SIDE - 1)), (i * 2 ** 16 + j) * 16 + doubled, now, begun),
      );
    }
  return longest;
}

/** @returns since when the cell has been lit that stands at a place in the squares, now that it is */
function touch({ cells, since, last }: Spells, at: number, cell: number, now: Millis, begun: Millis): Millis {
  if (cells[at] !== cell) {
    cells[at] = cell;
    since[at] = begun;
  } else if (now - (last[at] as number) > BRIDGED) since[at] = now;
  last[at] = now;
  return since[at] as number;
}

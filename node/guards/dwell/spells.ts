import type { Millis } from '../../core/units.ts';

/*
 * How long each place of a floor has been lit by a beam: in cells of a quarter of a metre, the longest unbroken spell, a break of less than a second
 * bridged. Plain data: a table for each beam in which a cell is found by its number.
 */

/** Metres. */
export const CELL = 0.25;
/** A cell that is not lit for so long has had its rest. */
export const BRIDGED: Millis = 1000;

/** Cells that are kept of a beam: those of the widest that is looked at cell by cell, at three places, and where it has just been. */
const SLOTS = 256;
/** A wider beam is looked at in larger cells, so many across it. */
const ACROSS = 6;

export interface Spells {
  /** Number of the cell in each slot; not a number: none. */
  readonly cells: Float64Array;
  readonly since: Float64Array;
  readonly last: Float64Array;
}

export const noSpells = (beams: number): Spells => ({
  cells: new Float64Array(beams * SLOTS).fill(Number.NaN),
  since: new Float64Array(beams * SLOTS),
  last: new Float64Array(beams * SLOTS),
});

/** Takes over what is known of one beam. */
export function carrySpells(from: Spells, place: number, to: Spells, at: number): void {
  for (const key of ['cells', 'since', 'last'] as const)
    to[key].set(from[key].subarray(place * SLOTS, (place + 1) * SLOTS), at * SLOTS);
}

/**
 * Lights a round of the floor by a beam.
 * @param begun what a cell counts from that was not lit before
 * @returns since when the cell has been lit that has been longest
 */
export function light(spells: Spells, beam: number, x: number, y: number, radius: number, now: Millis, begun: Millis): Millis {
  const size = Math.max(CELL, (2 * radius) / ACROSS);
  // Sizes go by doubling, so that a beam that grows a little does not begin anew.
  const cell = CELL * 2 ** Math.ceil(Math.log2(size / CELL));
  let longest = now;
  const [firstX, lastX] = [Math.floor((x - radius) / cell), Math.floor((x + radius) / cell)];
  const [firstY, lastY] = [Math.floor((y - radius) / cell), Math.floor((y + radius) / cell)];
  for (let i = firstX; i <= lastX; i++)
    for (let j = firstY; j <= lastY; j++) {
      const [dx, dy] = [x - Math.min((i + 1) * cell, Math.max(i * cell, x)), y - Math.min((j + 1) * cell, Math.max(j * cell, y))];
      if (dx * dx + dy * dy > radius * radius) continue;
      longest = Math.min(longest, touch(spells, beam, numberOf(i, j, cell), now, begun));
    }
  return longest;
}

/** Whole numbers that differ for all cells of a hall, at every size. */
const numberOf = (i: number, j: number, cell: number): number =>
  ((i + 2 ** 15) * 2 ** 16 + (j + 2 ** 15)) * 64 + Math.round(Math.log2(cell / CELL));

/** @returns since when it has been lit */
function touch({ cells, since, last }: Spells, beam: number, cell: number, now: Millis, begun: Millis): Millis {
  const first = beam * SLOTS;
  let free = -1;
  let oldest = first;
  for (let k = 0, slot = Math.floor(cell / 64) % SLOTS; k < SLOTS; k++, slot = (slot + 1) % SLOTS) {
    const at = first + slot;
    if (cells[at] === cell) {
      if (now - (last[at] as number) > BRIDGED) since[at] = now;
      last[at] = now;
      return since[at] as number;
    }
    const isFree = Number.isNaN(cells[at]) || now - (last[at] as number) > BRIDGED;
    if (isFree && free < 0) free = at;
    if ((last[at] as number) < (last[oldest] as number)) oldest = at;
    // Cells lie near where they belong: what has not come by now is not there.
    if (free >= 0 && k >= NEAR) break;
  }
  const to = free < 0 ? oldest : free;
  cells[to] = cell;
  since[to] = begun;
  last[to] = now;
  return begun;
}

/** Slots beyond the first that a cell may stand in. */
const NEAR = 32;

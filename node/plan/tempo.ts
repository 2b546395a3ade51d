import { FASTEST_TEMPO, SLOWEST_TEMPO } from '../core/limits.ts';
import type { Millis } from '../core/units.ts';

/** Taps that count: with fewer than the least a finger's jitter is heard, and more than the most follow a change of music too slowly. */
export const LEAST_TAPS = 4;
const MOST = 8;
const MILLIS_PER_MINUTE = 60_000;
/** A pause longer than a beat of the slowest tempo begins a new count. */
const PAUSE: Millis = MILLIS_PER_MINUTE / SLOWEST_TEMPO;

/** The taps that count: the last eight since the last pause. @param taps instants in ascending order */
export function countedTaps(taps: readonly Millis[]): readonly Millis[] {
  const last = taps.slice(-MOST);
  const pause = last.findLastIndex((tap, i) => i > 0 && tap - (last[i - 1] ?? tap) > PAUSE);
  return last.slice(Math.max(0, pause));
}

/**
 * Beats a minute of a row of taps, by the slope of a least-squares line through the last four to eight (common practice, no source).
 * Gaps of more than twice the median are missed taps and dropped: the line then stands in pieces, all of one slope.
 * @param taps instants in ascending order
 * @returns undefined until there are four taps, and outside 20 to 300 beats a minute
 */
export function tappedTempo(taps: readonly Millis[]): number | undefined {
  const counted = countedTaps(taps);
  if (counted.length < LEAST_TAPS) return undefined;
  const bpm = MILLIS_PER_MINUTE / period(counted);
  return bpm >= SLOWEST_TEMPO && bpm <= FASTEST_TEMPO ? bpm : undefined;
}

/** Common slope of the pieces: the sums of squares about each piece's own mean, added up. */
function period(taps: readonly Millis[]): Millis {
  const longest = 2 * median(taps.slice(1).map((tap, i) => tap - (taps[i] ?? tap)));
  const pieces: Millis[][] = [];
  taps.forEach((tap, i) => {
    const before = taps[i - 1];
    const piece = pieces.at(-1);
    if (piece === undefined || before === undefined || tap - before > longest) pieces.push([tap]);
    else piece.push(tap);
  });
  let both = 0;
  let square = 0;
  for (const piece of pieces) {
    const middle = (piece.length - 1) / 2;
    const mean = piece.reduce((sum, tap) => sum + tap, 0) / piece.length;
    piece.forEach((tap, i) => {
      both += (i - middle) * (tap - mean);
      square += (i - middle) ** 2;
    });
  }
  return both / square;
}

function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  const half = sorted.length / 2;
  return ((sorted[Math.ceil(half) - 1] ?? 0) + (sorted[Math.floor(half)] ?? 0)) / 2;
}

import type { Movement } from '../show/document.ts';

export type Figure = Movement['figure'];

/** A sine wave: its height as a share of the figure's size, how often it comes in a period, and by what share of itself it is ahead. */
type Wave = readonly [height: number, often: number, ahead: number];
const still: Wave = [0, 0, 0];
const sine: Wave = [1, 1, 0];
const cosine: Wave = [1, 1, 0.25];

/** Offset from the figure's centre: the sum of two waves for pan, then of two for tilt. */
const waves: Readonly<Record<Figure, Float64Array>> = {
  circle: row(cosine, still, sine, still),
  eight: row(sine, still, [1, 2, 0], still),
  sweep: row(sine, still, still, still),
  // Two slow waves an axis in ratios that make the path long before it meets itself.
  drift: row([0.6, 1, 0], [0.4, 0.382, 0], [0.6, Math.SQRT1_2, 0.25], [0.4, 0.271, 0]),
  // A sweep in which neighbours go against each other.
  'cross-over': row(sine, still, still, still),
  // From together in the middle to as far apart as it goes, and back.
  fan: row([0.5, 0, 0.25], [0.5, 1, -0.25], still, still),
};

function row(...of: readonly [Wave, Wave, Wave, Wave]): Float64Array {
  return Float64Array.from(of.flat());
}

/** Periods after which a figure has been everywhere that it goes, nearly. */
export const periodsOf = (figure: Figure): number => (figure === 'drift' ? 8 : 1);

/** Where a figure has come to at a phase in turns: pan and tilt, or along x and y, as shares of its size. */
export const acrossAt = (figure: Figure, turns: number): number => offset(waves[figure], 0, turns);
export const alongAt = (figure: Figure, turns: number): number => offset(waves[figure], 6, turns);

/** By how much of a figure's first share a head goes, by its place among `count`: -1..1. */
export function sideOf(figure: Figure, mirror: boolean, place: number, count: number): number {
  const side = (mirror || figure === 'cross-over') && place % 2 === 1 ? -1 : 1;
  if (figure !== 'fan') return side;
  return count < 2 ? 0 : side * ((2 * place) / (count - 1) - 1);
}

/** Sum of the two waves that stand in `of` from `first` on, at a phase in turns. */
const offset = (of: Float64Array, first: number, turns: number): number => wave(of, first, turns) + wave(of, first + 3, turns);

function wave(of: Float64Array, first: number, turns: number): number {
  const height = of[first] as number;
  return height === 0 ? 0 : height * Math.sin(2 * Math.PI * (turns * (of[first + 1] as number) + (of[first + 2] as number)));
}

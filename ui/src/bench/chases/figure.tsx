import { acrossAt, alongAt, sideOf } from '../../../../node/playback/figures.ts';
import type { Movement } from '../../../../node/show/document.ts';
import { writeDegrees } from '../amounts.ts';

type Figure = Movement['figure'];

export const figureNames: Readonly<Record<Figure, string>> = {
  circle: 'Circle',
  eight: 'Figure of eight',
  sweep: 'Sweep',
  drift: 'Drift',
  'cross-over': 'Cross-over',
  fan: 'Fan in and out',
};

/** Turns that are drawn: a drift meets itself only after many. */
const turnsOf = (figure: Figure): number => (figure === 'drift' ? 5 : 1);
const POINTS = 96;

/** It goes along one line, and has no height. */
const isLevel = (figure: Figure): boolean => ['sweep', 'cross-over', 'fan'].includes(figure);

/** The path of a figure, `pan` and `tilt` wide; up is up. */
export function pathOf(figure: Figure, pan: number, tilt: number): string {
  const turns = turnsOf(figure);
  const count = POINTS * turns;
  return Array.from({ length: count + 1 }, (_, i) => {
    const at = (i / count) * turns;
    return `${i === 0 ? 'M' : 'L'}${(acrossAt(figure, at) * pan).toFixed(2)} ${(-alongAt(figure, at) * tilt).toFixed(2)}`;
  }).join('');
}

/** A figure as such, for a choice among them. */
export const FigureSign = ({ figure }: { readonly figure: Figure }) => (
  <svg viewBox="-1.2 -1.2 2.4 2.4" aria-hidden="true">
    <path d={pathOf(figure, 1, isLevel(figure) ? 1 : 0.8)} />
  </svg>
);

interface FigurePictureProps {
  readonly movement: Pick<Movement, 'figure' | 'size' | 'spread' | 'mirror'>;
  readonly heads: number;
}

/** What is drawn: the path in degrees from its centre, and where the heads are on it at one moment. */
export function FigurePicture({ movement, heads }: FigurePictureProps) {
  const { figure, size, spread, mirror } = movement;
  const [across, along] = 'pan' in size ? [size.pan, size.tilt] : [size.width, size.depth];
  const [wide, high] = [Math.max(across, 4) * 1.25, Math.max(along, 4) * 1.25];
  const dot = Math.max(wide, high) / 28;
  const dots = Array.from({ length: Math.min(heads, 24) }, (_, i) => {
    const at = (spread * i) / heads;
    return { x: sideOf(figure, mirror, i, heads) * acrossAt(figure, at) * across, y: -alongAt(figure, at) * along };
  });
  const told =
    'pan' in size
      ? `${figureNames[figure]}, ${writeDegrees(size.pan)} pan and ${writeDegrees(size.tilt)} tilt from the centre`
      : `${figureNames[figure]}, ${size.width} m along x and ${size.depth} m along y from the centre`;
  return (
    <figure class="figure">
      <svg role="img" aria-label={told} viewBox={`${-wide} ${-high} ${2 * wide} ${2 * high}`} preserveAspectRatio="xMidYMid meet">
        {mirror && <path class="other-way" d={pathOf(figure, -across, along)} />}
        <path d={pathOf(figure, across, along)} />
        {dots.map(({ x, y }, i) => (
          <circle key={`${i} ${x}`} cx={x} cy={y} r={dot} />
        ))}
      </svg>
      <figcaption class="quiet">
        {told}. The dots are the heads at the start{mirror ? '; every other one goes the dashed way' : ''}.
      </figcaption>
    </figure>
  );
}

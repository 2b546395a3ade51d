import type { Frame } from '../core/frame.ts';
import { toMillis } from '../core/units.ts';
import type { Movement } from '../show/document.ts';
import type { PartReader } from './parts.ts';
import { between, type Extent, type Stroke } from './stroke.ts';

/** Heads on a figure, around an aim of its own or around wherever they are aimed below (then it covers nothing). */
export interface MovementProgram extends Extent {
  readonly kind: 'movement';
  readonly figure: Movement['figure'];
  /** Whether the period counts beats, not milliseconds. */
  readonly inBeats: boolean;
  readonly period: number;
  readonly aim?: { readonly pan: number; readonly tilt: number };
  /** By head: its cells, how far the figure takes each axis in degrees, and by what share of the figure it is ahead. */
  readonly pan: Uint32Array;
  readonly tilt: Uint32Array;
  readonly panSize: Float64Array;
  readonly tiltSize: number;
  readonly ahead: Float64Array;
}

/** A sine wave: its height as a share of the figure's size, how often it comes in a period, and by what share of itself it is ahead. */
type Wave = readonly [height: number, often: number, ahead: number];
const still: Wave = [0, 0, 0];
const sine: Wave = [1, 1, 0];
const cosine: Wave = [1, 1, 0.25];

/** Offset from the figure's centre: the sum of two waves for pan, then of two for tilt. */
const figures: Readonly<Record<Movement['figure'], Float64Array>> = {
  circle: waves(cosine, still, sine, still),
  eight: waves(sine, still, [1, 2, 0], still),
  sweep: waves(sine, still, still, still),
  // Two slow waves an axis in ratios that make the path long before it meets itself.
  drift: waves([0.6, 1, 0], [0.4, 0.382, 0], [0.6, Math.SQRT1_2, 0.25], [0.4, 0.271, 0]),
};

function waves(...of: readonly [Wave, Wave, Wave, Wave]): Float64Array {
  return Float64Array.from(of.flat());
}

export function movementProgram({ who, figure, aim, size, period, spread, mirror }: Movement, reader: PartReader): MovementProgram {
  const heads = reader.fixtures(who).flatMap(({ lamps: [{ cells }] }) => {
    const [pan, tilt] = [cells.get('Pan'), cells.get('Tilt')];
    return pan === undefined || tilt === undefined ? [] : { pan, tilt };
  });
  const pan = Uint32Array.from(heads, (head) => head.pan);
  const tilt = Uint32Array.from(heads, (head) => head.tilt);
  const touches = Uint32Array.of(...pan, ...tilt).sort();
  const inBeats = 'beats' in period;
  return {
    kind: 'movement',
    figure,
    inBeats,
    period: inBeats ? period.beats : toMillis(period.seconds),
    ...(aim === undefined ? {} : { aim }),
    pan,
    tilt,
    panSize: Float64Array.from(heads, (_, i) => (mirror && i % 2 === 1 ? -size.pan : size.pan)),
    tiltSize: size.tilt,
    ahead: Float64Array.from(heads, (_, i) => (spread * i) / heads.length),
    touches,
    covers: aim === undefined ? new Uint32Array() : touches,
  };
}

export function drawMovement(movement: MovementProgram, frame: Frame, { weight, millis, beats }: Readonly<Stroke>): void {
  const { pan, tilt, panSize, tiltSize, ahead, aim } = movement;
  const of = figures[movement.figure];
  const turns = (movement.inBeats ? beats : millis) / movement.period;
  for (let i = 0; i < pan.length; i++) {
    const at = turns + (ahead[i] as number);
    const panCell = pan[i] as number;
    const tiltCell = tilt[i] as number;
    const panBelow = frame[panCell] as number;
    const tiltBelow = frame[tiltCell] as number;
    const panTo = (aim === undefined ? panBelow : aim.pan) + offset(of, 0, at) * (panSize[i] as number);
    const tiltTo = (aim === undefined ? tiltBelow : aim.tilt) + offset(of, 6, at) * tiltSize;
    frame[panCell] = between(panBelow, panTo, weight);
    frame[tiltCell] = between(tiltBelow, tiltTo, weight);
  }
}

/** Where a figure has come to at a phase in turns, pan and tilt as shares of its size. */
export const pointOn = (figure: Movement['figure'], turns: number): readonly [pan: number, tilt: number] => [
  offset(figures[figure], 0, turns),
  offset(figures[figure], 6, turns),
];

/** Sum of the two waves that stand in `of` from `first` on, at a phase in turns. */
const offset = (of: Float64Array, first: number, turns: number): number => wave(of, first, turns) + wave(of, first + 3, turns);

function wave(of: Float64Array, first: number, turns: number): number {
  const height = of[first] as number;
  return height === 0 ? 0 : height * Math.sin(2 * Math.PI * (turns * (of[first + 1] as number) + (of[first + 2] as number)));
}

import type { Frame } from '../core/frame.ts';
import { type Level, toMillis } from '../core/units.ts';
import type { Movement } from '../show/document.ts';
import type { PartReader } from './parts.ts';
import { between, type Elapsed, type Program } from './program.ts';

interface Head {
  readonly pan: number;
  readonly tilt: number;
  /** Share of the figure by which it is ahead. */
  readonly ahead: number;
  readonly turn: 1 | -1;
}

const TURN = 2 * Math.PI;

/** Offset from the figure's centre at a phase in turns, as shares of its size: pan, then tilt. */
const figures: Readonly<Record<Movement['figure'], (turns: number, out: Float64Array) => void>> = {
  circle: (turns, out) => {
    out[0] = Math.cos(TURN * turns);
    out[1] = Math.sin(TURN * turns);
  },
  eight: (turns, out) => {
    out[0] = Math.sin(TURN * turns);
    out[1] = Math.sin(2 * TURN * turns);
  },
  sweep: (turns, out) => {
    out[0] = Math.sin(TURN * turns);
    out[1] = 0;
  },
  // Two slow waves an axis in ratios that make the path long before it meets itself.
  drift: (turns, out) => {
    out[0] = 0.6 * Math.sin(TURN * turns) + 0.4 * Math.sin(TURN * turns * 0.382);
    out[1] = 0.6 * Math.cos(TURN * turns * Math.SQRT1_2) + 0.4 * Math.sin(TURN * turns * 0.271);
  },
};

/** A figure around an aim of its own, or around wherever the heads are aimed below (then it covers nothing). */
export function movementProgram(movement: Movement, reader: PartReader): Program {
  const { period, size, aim, spread, mirror } = movement;
  const inBeats = 'beats' in period;
  const turn = inBeats ? period.beats : toMillis(period.seconds);
  const found = reader
    .fixtures(movement.who)
    .flatMap(({ lamps: [whole] }) => (whole.cells.has('Pan') && whole.cells.has('Tilt') ? [whole] : []));
  const heads = found.map(({ cells }, i): Head => {
    return {
      pan: cells.get('Pan') ?? 0,
      tilt: cells.get('Tilt') ?? 0,
      ahead: (spread * i) / found.length,
      turn: mirror && i % 2 === 1 ? -1 : 1,
    };
  });
  const touches = new Set(heads.flatMap(({ pan, tilt }) => [pan, tilt]));
  const figure = figures[movement.figure];
  const offset = new Float64Array(2);

  return {
    touches,
    covers: aim === undefined ? new Set() : touches,
    draw(frame: Frame, weight: Level, elapsed: Elapsed): void {
      const turns = (inBeats ? elapsed.beats : elapsed.millis) / turn;
      for (const head of heads) {
        figure(turns + head.ahead, offset);
        const pan = frame[head.pan] as number;
        const tilt = frame[head.tilt] as number;
        frame[head.pan] = between(pan, (aim?.pan ?? pan) + (offset[0] as number) * size.pan * head.turn, weight);
        frame[head.tilt] = between(tilt, (aim?.tilt ?? tilt) + (offset[1] as number) * size.tilt, weight);
      }
    },
  };
}

import type { Frame } from '../core/frame.ts';
import { type ChaseProgram, drawChase } from './chase.ts';
import { drawMovement, type MovementProgram } from './movement.ts';
import { type Cells, type CellValues, coverAll, type Extent, type Stroke } from './stroke.ts';

/**
 * An item of the show made ready to play: plain data, so that it can be handed from thread to thread. It holds no state: the same stroke
 * draws the same thing.
 */
export type Program = StillProgram | ChaseProgram | MovementProgram;

/** A look or a hit: the same values for as long as it plays. A hit covers nothing: what it hides comes back when it lets go. */
export interface StillProgram extends Extent, CellValues {
  readonly kind: 'still';
}

/** Draws a program over what lies in the frame. */
export function drawProgram(program: Program, frame: Frame, stroke: Readonly<Stroke>, rig: Cells): void {
  switch (program.kind) {
    case 'still':
      coverAll(program, frame, stroke, rig);
      break;
    case 'chase':
      drawChase(program, frame, stroke, rig);
      break;
    case 'movement':
      drawMovement(program, frame, stroke);
      break;
  }
}

import type { Frame } from '../core/frame.ts';
import { type Aimed, lookingBy } from './aims.ts';
import { type ChaseProgram, drawChase } from './chase.ts';
import { centredBy, drawMovement, type MovementProgram } from './movement.ts';
import type { Entry } from './state.ts';
import { type Cells, type CellValues, coverAll, type Extent, type Stroke } from './stroke.ts';

/**
 * An item of the show made ready to play: plain data, so that it can be handed from thread to thread. It holds no state: the same stroke
 * draws the same thing.
 */
export type Program = StillProgram | ChaseProgram | MovementProgram;

/** A look or a hit: the same values for as long as it plays. A hit covers nothing: what it hides comes back when it lets go. */
export interface StillProgram extends Extent, CellValues {
  readonly kind: 'still';
  readonly aims: readonly Aimed[];
}

/** Heads of a program that can look where they shall in several ways. */
export const aimsOf = (program: Program): readonly Aimed[] => (program.kind === 'chase' ? [] : program.aims);

/** The program with the ways that were chosen when it started. */
export function withChoices(program: Program, choices: Entry['choices']): Program {
  if (choices === undefined || aimsOf(program).length === 0) return program;
  switch (program.kind) {
    case 'still':
      return { ...program, values: lookingBy(program, program.aims, choices) };
    case 'movement':
      return { ...program, heads: program.heads.map((head) => centredBy(head, choices)) };
    case 'chase':
      return program;
  }
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

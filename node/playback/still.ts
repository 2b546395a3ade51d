import type { Frame } from '../core/frame.ts';
import type { Level } from '../core/units.ts';
import type { CellValues } from './parts.ts';
import { cover, type Program } from './program.ts';

/** A look or a hit: the same values for as long as it plays. A hit covers nothing: what it hides comes back when it lets go. */
export function stillProgram(values: CellValues, snaps: Uint8Array, covering: boolean): Program {
  const cells = Uint32Array.from(values.keys());
  const numbers = Float64Array.from(values.values());
  const touches = new Set(cells);
  return {
    touches,
    covers: covering ? touches : new Set(),
    draw(frame: Frame, weight: Level): void {
      for (let i = 0; i < cells.length; i++) cover(frame, cells[i] as number, numbers[i] as number, weight, snaps);
    },
  };
}

import type { Frame } from '../core/frame.ts';
import { clampLevel, type Level, toMillis } from '../core/units.ts';
import type { Chase } from '../show/document.ts';
import type { CellValues, PartReader } from './parts.ts';
import { cover, type Elapsed, type Program } from './program.ts';

interface Step {
  /** Start and length, in the chase's own unit: milliseconds or beats. */
  readonly start: number;
  readonly length: number;
  readonly fade: number;
  readonly values: CellValues;
}

/** Steps in a circle, each coming over from the one before. A cell that a step does not name shows what plays below. */
export function chaseProgram(chase: Chase, reader: PartReader, snaps: Uint8Array): Program {
  const inBeats = chase.steps.every(({ length }) => 'beats' in length);
  const allParts = chase.steps.flatMap(({ parts }) => parts);
  let end = 0;
  const steps = chase.steps.map(({ length, fade, parts }): Step => {
    const span = 'beats' in length ? length.beats : toMillis(length.seconds);
    const start = end;
    end += span;
    return { start, length: span, fade: fade * span, values: reader.cells(parts, allParts) };
  });
  const touches = new Set(steps.flatMap(({ values }) => [...values.keys()]));
  const cells = Uint32Array.from(touches);
  // One row a step: value and presence of every cell, so that drawing looks nothing up.
  const values = steps.map((step) => Float64Array.from(cells, (cell) => step.values.get(cell) ?? 0));
  const named = steps.map((step) => Uint8Array.from(cells, (cell) => (step.values.has(cell) ? 1 : 0)));

  return {
    touches,
    covers: new Set([...touches].filter((cell) => steps.every((step) => step.values.has(cell)))),
    draw(frame: Frame, weight: Level, elapsed: Elapsed): void {
      const at = Math.max(0, inBeats ? elapsed.beats : elapsed.millis);
      const inRound = at % end;
      let current = steps.length - 1;
      while (current > 0 && (steps[current] as Step).start > inRound) current--;
      const step = steps[current] as Step;
      const come = step.fade <= 0 ? 1 : clampLevel((inRound - step.start) / step.fade);
      const firstEver = current === 0 && at < step.length;
      const before = firstEver ? current : (current + steps.length - 1) % steps.length;
      const nowValues = values[current] as Float64Array;
      const nowNamed = named[current] as Uint8Array;
      const oldValues = values[before] as Float64Array;
      const oldNamed = named[before] as Uint8Array;
      for (let i = 0; i < cells.length; i++) {
        const share = (nowNamed[i] as number) * come;
        const oldShare = (oldNamed[i] as number) * (1 - come);
        const whole = share + oldShare;
        if (whole <= 0) continue;
        const cell = cells[i] as number;
        const value =
          snaps[cell] === 1
            ? share >= oldShare
              ? (nowValues[i] as number)
              : (oldValues[i] as number)
            : ((nowValues[i] as number) * share + (oldValues[i] as number) * oldShare) / whole;
        cover(frame, cell, value, weight * whole, snaps);
      }
    },
  };
}

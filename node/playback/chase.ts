import type { Frame } from '../core/frame.ts';
import { type Level, toMillis } from '../core/units.ts';
import { leastTravel, type Way } from '../plan/aim/ways.ts';
import type { Chase } from '../show/document.ts';
import { lookingBy } from './aims.ts';
import { addAll, emptySet, intersect, membersOf, setOf } from './bit-set.ts';
import type { PartReader, PartValues } from './parts.ts';
import { between, type Cells, type CellValues, cover, type Extent, levelAt, levelOr, type Stroke, shareOf } from './stroke.ts';

/** Steps in a circle, each coming over from the one before. A cell that a step does not name shows what plays below. */
export interface ChaseProgram extends Extent, CellValues {
  readonly kind: 'chase';
  /** Whether starts, fades and round count beats, not milliseconds. */
  readonly inBeats: boolean;
  readonly round: number;
  /** Where each step begins in the round, and what it takes to come over from the one before. */
  readonly starts: Float64Array;
  readonly fades: Float64Array;
  /** What step i sets stands in `cells` and `values` from `rows[i]` up to `rows[i + 1]`. */
  readonly rows: Uint32Array;
}

export function chaseProgram({ steps }: Chase, reader: PartReader): ChaseProgram {
  const least = reader.weakest(steps.flatMap(({ parts }) => parts));
  const set = inTurn(steps.map(({ parts }) => reader.read(parts, least)));
  const touches = emptySet(reader.size);
  const covers = setOf(reader.size, set[0]?.cells ?? []);
  const starts = new Float64Array(steps.length);
  const fades = new Float64Array(steps.length);
  const rows = new Uint32Array(steps.length + 1);
  let round = 0;
  for (const [i, { length, fade }] of steps.entries()) {
    const span = 'beats' in length ? length.beats : toMillis(length.seconds);
    const { cells } = set[i] as CellValues;
    starts[i] = round;
    fades[i] = fade * span;
    rows[i + 1] = (rows[i] as number) + cells.length;
    addAll(touches, cells);
    intersect(covers, setOf(reader.size, cells));
    round += span;
  }
  const cells = new Uint32Array(rows[steps.length] as number);
  const values = new Float64Array(cells.length);
  const levels = new Int32Array(cells.length);
  for (const [i, step] of set.entries()) {
    const first = rows[i] as number;
    cells.set(step.cells, first);
    values.set(step.values, first);
    levels.set(
      step.levels.map((place) => (place < 0 ? place : first + place)),
      first,
    );
  }
  const inBeats = steps.every(({ length }) => 'beats' in length);
  const extent = { touches: membersOf(touches), covers: membersOf(covers) };
  return { kind: 'chase', inBeats, round, starts, fades, rows, cells, values, levels, ...extent };
}

/** From step to step heads turn as little as they can. */
function inTurn(steps: readonly PartValues[]): CellValues[] {
  const stands = new Map<string, Way>();
  return steps.map((step) => {
    const ways = step.aims.map((aimed): [string, Way] => {
      const from = stands.get(aimed.name);
      return [aimed.name, from === undefined ? aimed.ways[0] : leastTravel(aimed.head, aimed.ways, from)];
    });
    for (const [name, way] of ways) stands.set(name, way);
    return { ...step, values: lookingBy(step, step.aims, Object.fromEntries(ways.map(([name, { number }]) => [name, number]))) };
  });
}

export function drawChase(chase: ChaseProgram, frame: Frame, stroke: Readonly<Stroke>, rig: Cells): void {
  const { starts, fades, rows, cells, values, levels } = chase;
  const at = Math.max(0, chase.inBeats ? stroke.beats : stroke.millis);
  const inRound = at % chase.round;
  let step = starts.length - 1;
  while (step > 0 && (starts[step] as number) > inRound) step--;
  const fade = fades[step] as number;
  // The very first step comes from nowhere.
  const come = fade <= 0 || at < (starts[1] as number) ? 1 : Math.min(1, (inRound - (starts[step] as number)) / fade);
  const before = step === 0 ? starts.length - 1 : step - 1;
  let now = rows[step] as number;
  const end = rows[step + 1] as number;
  let old = rows[before] as number;
  const oldEnd = come === 1 ? old : (rows[before + 1] as number);
  const { weight } = stroke;
  // Cells of both rows ascend: what stands in one alone comes from below, or goes back there.
  while (now < end || old < oldEnd) {
    const cell = now < end ? (cells[now] as number) : NONE;
    const oldCell = old < oldEnd ? (cells[old] as number) : NONE;
    if (cell < oldCell) {
      const level = levelAt(levels[now] as number, values);
      cover(frame, cell, values[now++] as number, shareOf(frame, cell, weight * come, level, stroke, rig), rig);
    } else if (cell > oldCell) {
      const level = levelAt(levels[old] as number, values);
      cover(frame, oldCell, values[old++] as number, shareOf(frame, oldCell, weight * (1 - come), level, stroke, rig), rig);
    } else {
      const dimmer = rig.dimmerOf[cell] as number;
      let inner = come;
      let outer = weight;
      if (dimmer >= 0) {
        // Between two steps too a colour goes by its share of the light.
        const comes = come * levelOr(levelAt(levels[now] as number, values), dimmer, stroke);
        const both = comes + (1 - come) * levelOr(levelAt(levels[old] as number, values), dimmer, stroke);
        if (both > 0) inner = comes / both;
        outer = shareOf(frame, cell, weight, both, stroke, rig);
      }
      cover(frame, cell, change(values[old++] as number, values[now++] as number, inner, rig.snaps[cell] as number), outer, rig);
    }
  }
}

/** Beyond every cell. */
const NONE = 2 ** 31 - 1;

const change = (from: number, to: number, come: Level, snap: number): number =>
  snap === 0 ? between(from, to, come) : come >= 0.5 ? to : from;

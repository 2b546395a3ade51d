import type { Frame } from '../core/frame.ts';
import type { Millis } from '../core/units.ts';
import type { Item, Playbook } from './compile.ts';
import { drawProgram, withChoices } from './program.ts';
import { beatAt, type Entry, levelOf, type PlayState, weightOf } from './state.ts';
import type { Stroke } from './stroke.ts';

/** What drawing works in, made once a playbook: a frame makes nothing anew. */
export interface Canvas {
  readonly stroke: Stroke;
  /** What stood in the cells that need a person. */
  readonly below: Float64Array;
  /** The stack that `layers` were looked up for. */
  entries: readonly Entry[] | undefined;
  layers: readonly Layer[];
}

/** An entry of the stack with what it plays. */
interface Layer {
  readonly entry: Entry;
  readonly item: Item;
}

export const canvasFor = ({ rig }: Playbook): Canvas => ({
  stroke: { weight: 0, millis: 0, beats: 0, below: new Float64Array(rig.rest.length) },
  below: new Float64Array(rig.needPerson.length),
  entries: undefined,
  layers: [],
});

/**
 * The attribute frame of an instant, drawn into `frame` from the bottom of the stack to its top. Pure but for where it writes: the same
 * show, state and instant give the same numbers, on any node, before and after a restart, whatever was drawn on the canvas before.
 */
export function render(show: Playbook, state: PlayState, now: Millis, frame: Frame, canvas: Canvas): Frame {
  if (canvas.entries !== state.entries) {
    canvas.entries = state.entries;
    canvas.layers = layersOf(show, state.entries);
  }
  frame.set(show.rig.rest);
  drawAway(show, state, now, frame, canvas);
  for (let i = 0; i < canvas.layers.length; i++) {
    const layer = canvas.layers[i] as Layer;
    const { away, calmed } = layer.entry;
    if (away !== undefined) draw(show, layer, 1 - levelOf(away, now), false, state, now, frame, canvas);
    else if (calmed !== undefined) drawCalmed(show, layer, state, now, frame, canvas);
    else draw(show, layer, 1, false, state, now, frame, canvas);
  }
  return frame;
}

const layersOf = (show: Playbook, entries: readonly Entry[]): Layer[] =>
  entries.flatMap((entry) => {
    const item = show.items.get(entry.item);
    return item === undefined ? [] : { entry, item: { ...item, program: withChoices(item.program, entry.choices) } };
  });

/**
 * What the fallback has taken away gives no light any more, but its heads stay where they are, under all that still plays. The same
 * entries, as far as they are not gone yet, are drawn once more in their own places.
 */
function drawAway(show: Playbook, state: PlayState, now: Millis, frame: Frame, canvas: Canvas): void {
  const { rest, atBlackout } = show.rig;
  let any = false;
  for (let i = 0; i < canvas.layers.length; i++) {
    const layer = canvas.layers[i] as Layer;
    const { away } = layer.entry;
    if (away === undefined || levelOf(away, now) <= 0) continue;
    draw(show, layer, 1, true, state, now, frame, canvas);
    any = true;
  }
  if (!any) return;
  for (let cell = 0; cell < frame.length; cell++) {
    if (!Number.isNaN(atBlackout[cell])) frame[cell] = rest[cell] as number;
  }
}

/** What may run alone, without what may not: figures stand, haze and strobes are no more than below, and it may still stop those. */
function drawCalmed(show: Playbook, layer: Layer, state: PlayState, now: Millis, frame: Frame, canvas: Canvas): void {
  const { needPerson, rest } = show.rig;
  const { below } = canvas;
  for (let i = 0; i < needPerson.length; i++) below[i] = frame[needPerson[i] as number] as number;
  draw(show, layer, 1, layer.item.kind === 'movement', state, now, frame, canvas);
  for (let i = 0; i < needPerson.length; i++) {
    const cell = needPerson[i] as number;
    const atRest = rest[cell] as number;
    if (Math.abs((below[i] as number) - atRest) < Math.abs((frame[cell] as number) - atRest)) frame[cell] = below[i] as number;
  }
}

/** `share` of an entry's weight; `stands`: no further than to where the fallback found it. */
function draw(
  show: Playbook,
  { entry, item }: Layer,
  share: number,
  stands: boolean,
  { tempo }: PlayState,
  now: Millis,
  frame: Frame,
  { stroke }: Canvas,
): void {
  const { startedAt, startBeat, calmed } = entry;
  stroke.weight = weightOf(entry, now) * share;
  if (stroke.weight <= 0) return;
  const stood = stands && calmed !== undefined && now > calmed.at ? calmed : undefined;
  stroke.millis = (stood?.at ?? now) - startedAt;
  stroke.beats = (stood?.beat ?? beatAt(tempo, now)) - startBeat;
  if (stroke.weight < 1 || item.kind === 'chase') stroke.below.set(frame);
  drawProgram(item.program, frame, stroke, show.rig);
}

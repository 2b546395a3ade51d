import { attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Millis } from '../core/units.ts';
import type { CompiledShow, Item } from './compile.ts';
import type { Elapsed } from './program.ts';
import { beatAt, type Entry, levelOf, type PlayState, weightOf } from './state.ts';

/**
 * The attribute frame of an instant, drawn into `frame` from the bottom of the stack to its top. Pure but for where it writes:
 * the same show, state and instant give the same numbers, on any node, before and after a restart.
 */
export function render(show: CompiledShow, state: PlayState, now: Millis, frame: Frame): Frame {
  frame.set(show.rig.rest);
  if (state.entries.some(({ away }) => away !== undefined)) drawAway(show, state, now, frame);
  for (const entry of state.entries) {
    const item = show.items.get(entry.item);
    if (item === undefined) continue;
    if (entry.away !== undefined)
      draw(item, entry, weightOf(entry, now) * (1 - levelOf(entry.away, now)), false, state, now, frame);
    else if (entry.calmed !== undefined) drawCalmed(show, item, entry, state, now, frame);
    else draw(item, entry, weightOf(entry, now), false, state, now, frame);
  }
  return frame;
}

/**
 * What the fallback has taken away gives no light any more, but its heads stay where they are, under all that still plays. The same
 * entries, as far as they are not gone yet, are drawn once more in their own places.
 */
function drawAway(show: CompiledShow, state: PlayState, now: Millis, frame: Frame): void {
  const { rest, attributeOf } = show.rig;
  for (const entry of state.entries) {
    const item = show.items.get(entry.item);
    if (item === undefined || entry.away === undefined || levelOf(entry.away, now) <= 0) continue;
    draw(item, entry, weightOf(entry, now), true, state, now, frame);
  }
  for (let cell = 0; cell < frame.length; cell++) {
    const name = attributeOf[cell];
    if (name !== undefined && attribute(name).atBlackout !== 'keep') frame[cell] = rest[cell] as number;
  }
}

/** What may run alone, without what may not: figures stand, haze and strobes are as below. */
function drawCalmed({ rig }: CompiledShow, item: Item, entry: Entry, state: PlayState, now: Millis, frame: Frame): void {
  const cells = rig.attributeOf.flatMap((name, cell) => (attribute(name).needsPerson ? [cell] : []));
  const below = cells.map((cell) => frame[cell] as number);
  draw(item, entry, weightOf(entry, now), item.kind === 'movement', state, now, frame);
  for (const [i, cell] of cells.entries()) frame[cell] = below[i] as number;
}

const elapsed: Elapsed = { millis: 0, beats: 0 };

function draw(
  { program }: Item,
  { startedAt, startBeat, calmed }: Entry,
  weight: number,
  stands: boolean,
  { tempo }: PlayState,
  now: Millis,
  frame: Frame,
): void {
  if (weight <= 0) return;
  const stood = stands && calmed !== undefined && now > calmed.at ? calmed : undefined;
  elapsed.millis = (stood?.at ?? now) - startedAt;
  elapsed.beats = (stood?.beat ?? beatAt(tempo, now)) - startBeat;
  program.draw(frame, weight, elapsed);
}

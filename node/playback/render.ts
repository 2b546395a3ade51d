import { attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Millis } from '../core/units.ts';
import type { CompiledShow, Item } from './compile.ts';
import type { Elapsed } from './program.ts';
import { beatAt, type Entry, fallenShare, type PlayState, weightOf } from './state.ts';

/**
 * The attribute frame of an instant, drawn into `frame` from the bottom of the stack to its top. Pure but for where it writes:
 * the same show, state and instant give the same numbers, on any node, before and after a restart. `spare` is a second frame to work in.
 */
export function render(show: CompiledShow, state: PlayState, now: Millis, frame: Frame, spare: Frame): Frame {
  const share = fallenShare(state, now);
  if (share === 1) return drawFallen(show, state, now, frame);
  frame.set(show.rig.rest);
  drawEntries(show, state, now, frame, everything, nothing);
  if (share > 0) blend(show, frame, drawFallen(show, state, now, spare), share);
  return frame;
}

/**
 * The picture after the fallback: what is attended gives no light any more, but its heads stay where they are; what is unattended
 * runs on, and the fallback's look lies over it: somebody chose it to be seen.
 */
function drawFallen(show: CompiledShow, state: PlayState, now: Millis, frame: Frame): Frame {
  const { rest, attributeOf } = show.rig;
  frame.set(rest);
  drawEntries(show, state, now, frame, attended, everything);
  for (let cell = 0; cell < frame.length; cell++) {
    const name = attributeOf[cell];
    if (name !== undefined && attribute(name).atBlackout !== 'keep') frame[cell] = rest[cell] as number;
  }
  // Nothing moves after the fallback but the chases that may run alone.
  drawEntries(show, state, now, frame, unattended, moves);
  const { fallback } = show.show;
  if (fallback !== 'blackout') show.items.get(`look:${fallback.look}`)?.program.draw(frame, 1, { millis: 0, beats: 0 });
  return frame;
}

type Which = (item: Item) => boolean;
const everything: Which = () => true;
const nothing: Which = () => false;
const moves: Which = ({ kind }) => kind === 'movement';
const attended: Which = ({ unattended: alone }) => !alone;
const unattended: Which = ({ unattended: alone }) => alone;

function drawEntries(show: CompiledShow, state: PlayState, now: Millis, frame: Frame, which: Which, stands: Which): void {
  const elapsed: Elapsed = { millis: 0, beats: 0 };
  for (const entry of state.entries) {
    const item = show.items.get(entry.item);
    if (item === undefined || !which(item)) continue;
    const weight = weightOf(entry, now);
    if (weight <= 0) continue;
    item.program.draw(frame, weight, elapsedOf(entry, state, now, stands(item), elapsed));
  }
}

function elapsedOf(entry: Entry, { tempo, fallback }: PlayState, now: Millis, stands: boolean, into: Elapsed): Elapsed {
  const stood = stands && fallback !== undefined && now > fallback.stands ? fallback : undefined;
  into.millis = (stood?.stands ?? now) - entry.startedAt;
  into.beats = (stood?.beat ?? beatAt(tempo, now)) - entry.startBeat;
  return into;
}

function blend({ rig }: CompiledShow, frame: Frame, over: Frame, share: number): void {
  for (let cell = 0; cell < frame.length; cell++) {
    const name = rig.attributeOf[cell];
    if (name === undefined) continue;
    const below = frame[cell] as number;
    const above = over[cell] as number;
    if (attribute(name).change === 'fade') frame[cell] = below + (above - below) * share;
    else if (share >= 0.5) frame[cell] = above;
  }
}

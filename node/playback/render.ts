import type { Frame } from '../core/frame.ts';
import type { Millis } from '../core/units.ts';
import type { CompiledShow } from './compile.ts';
import type { Elapsed } from './program.ts';
import { beatAt, type PlayState, weightOf } from './state.ts';

/**
 * The attribute frame of an instant, drawn into `frame` from the bottom of the stack to its top. Pure but for where it writes:
 * the same show, state and instant give the same numbers, on any node, before and after a restart.
 */
export function render(show: CompiledShow, state: PlayState, now: Millis, frame: Frame): Frame {
  frame.set(show.rig.rest);
  const beat = beatAt(state.tempo, now);
  const elapsed: Elapsed = { millis: 0, beats: 0 };
  for (const entry of state.entries) {
    const weight = weightOf(entry, now);
    if (weight <= 0) continue;
    elapsed.millis = now - entry.startedAt;
    elapsed.beats = beat - entry.startBeat;
    show.items.get(entry.item)?.program.draw(frame, weight, elapsed);
  }
  return frame;
}

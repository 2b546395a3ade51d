import { Levels } from '../core/levels.ts';
import { Pipeline } from '../pipeline/pipeline.ts';
import type { Playbook } from '../playback/compile.ts';
import type { Load } from './messages.ts';

/** A show that can be played from the next frame on. */
export interface Ready {
  /** Of the load that it came with. */
  readonly number: number;
  readonly show: Playbook;
  readonly levels: Levels;
  readonly pipeline: Pipeline;
}

/** Makes a show ready in steps of which each takes but a moment, so that frames of the one before it go out in between. */
export function* makeReady({ number, show, memory }: Load): Generator<void, Ready> {
  const levels = new Levels(show.rig.universes, memory);
  yield;
  return { number, show, levels, pipeline: new Pipeline(show, levels) };
}

/** All steps at once: where nothing plays yet. */
export function finish<T>(steps: Generator<void, T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

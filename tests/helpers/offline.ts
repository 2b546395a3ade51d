import type { AttributeName } from '../../node/core/attributes.ts';
import type { Command } from '../../node/core/commands.ts';
import { Levels } from '../../node/core/levels.ts';
import type { Millis } from '../../node/core/units.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { type CompiledShow, compileShow } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import { type Canvas, canvasFor, render } from '../../node/playback/render.ts';
import type { PlayState } from '../../node/playback/state.ts';
import type { Show } from '../../node/show/document.ts';

/** What is asked for and when, in milliseconds from the start of the show. */
export type Script = readonly (readonly [at: Millis, command: Command])[];

/** A show begins at a date that is not zero, as a real one does. */
export const START: Millis = Date.UTC(2030, 5, 15, 20, 0, 0);

export const press = (button: string): Command => ({ do: 'press', button });
export const release = (button: string): Command => ({ do: 'release', button });

/** Somebody says that the venue permits haze. */
export const hazePermitted: Command = { do: 'allow-haze', on: true };

/** The engine's frame period at its default of 40 frames a second. */
const FRAME: Millis = 25;
/** Guards remember a second; a fade of a third of one may go before. */
const REMEMBERED: Millis = 1500;

/** Compiling takes longer than playing; a show is compiled once, however many nights are played with it. */
const compiled = new WeakMap<Show, CompiledShow>();

function compiledOf(show: Show): CompiledShow {
  const known = compiled.get(show) ?? compileShow(show);
  compiled.set(show, known);
  return known;
}

/**
 * A night without a night: a show, a script of commands, and what comes of them at any instant, asked for in any order.
 * All instants are milliseconds from the start.
 */
export class Offline {
  readonly show: CompiledShow;
  readonly #script: Script;
  readonly #levels: Levels;
  /** What was drawn last. */
  #at = Number.NaN;
  #drawn: PlayState | undefined;
  /** What played after so many commands. */
  readonly #states = new Map<number, PlayState>();
  readonly #frame: Float64Array;
  readonly canvas: Canvas;

  constructor(show: Show, script: Script = []) {
    this.show = compiledOf(show);
    this.#script = script;
    this.#levels = new Levels(this.show.rig.universes);
    this.#frame = Float64Array.from(this.show.rig.rest);
    this.canvas = canvasFor(this.show);
  }

  /** What plays after every command up to and including `at`. */
  state(at: Millis): PlayState {
    const due = this.#script.filter(([when]) => when <= at);
    const known = this.#states.get(due.length);
    if (known !== undefined) return known;
    const state = due.reduce(
      (before, [when, command], i) => reduce(this.show, before, command, START + when, i + 1),
      freshState(this.show, START),
    );
    this.#states.set(due.length, state);
    return state;
  }

  /** Names of what is in the stack, oldest first. */
  stack(at: Millis): string[] {
    return this.state(at).entries.map(({ item }) => item);
  }

  /** The slots on their way to the wire, slot 1 at index 0. */
  slots(at: Millis, universe = 1, state = this.state(at)): Uint8Array {
    if (at !== this.#at || state !== this.#drawn) this.#draw(state, at);
    return this.#levels.snapshot(universe);
  }

  /** Guards remember: what came shortly before is drawn as it was. The night before the show begins is dark. */
  #draw(state: PlayState, at: Millis): void {
    const pipeline = Pipeline.for(this.show, this.#levels);
    // A state of elsewhere has played before too: its heads do not jump to where it has them.
    const own = state === this.state(at);
    for (let before = at - REMEMBERED; before < at; before += FRAME) pipeline.run(own ? this.state(before) : state, START + before);
    pipeline.run(state, START + at);
    const fault = pipeline.takeFault();
    if (fault !== undefined) throw new Error(fault);
    this.#at = at;
    this.#drawn = state;
  }

  /** One slot, by its number from 1. */
  slot(number: number, at: Millis, universe = 1): number {
    return this.slots(at, universe)[number - 1] ?? Number.NaN;
  }

  /** The frame as the stack draws it, before any guard. */
  frame(at: Millis, state = this.state(at)): Float64Array {
    return Float64Array.from(render(this.show, state, START + at, this.#frame, this.canvas));
  }

  /** One value of that frame, in the attribute's unit. */
  value(fixture: string, attribute: AttributeName, at: Millis): number {
    const cell = this.show.rig.byId.get(fixture)?.lamps[0].cells.get(attribute);
    if (cell === undefined) throw new Error(`${fixture} has no ${attribute}`);
    return this.frame(at)[cell] ?? Number.NaN;
  }
}

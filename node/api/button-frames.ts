import type { Frame } from '../core/frame.ts';
import type { Millis } from '../core/units.ts';
import { type BitSet, membersOf } from '../playback/bit-set.ts';
import type { CompiledShow, Item } from '../playback/compile.ts';
import { freshState } from '../playback/reduce.ts';
import { type Canvas, canvasFor, render } from '../playback/render.ts';
import { start } from '../playback/stack.ts';
import type { PlayState } from '../playback/state.ts';
import { Picture } from '../rig/picture.ts';
import type { ItemKey } from '../show/document.ts';
import type { ButtonFrame } from './contract.ts';

/** Milliseconds between the moments of what moves: apart enough to differ, and no multiple of a beat at common tempos. */
const BETWEEN: Millis = 730;
const MOMENTS = 4;
/** How bright lamps are shown whose brightness is left to what plays below. */
const LIT = 0.7;
/** A show with more lights than this on its buttons tells one moment of each: the rest would be long in coming over a venue's network. */
const MOST_TOLD = 2500;

/** What buttons alone show, drawn by the code that lights the room. */
export class ButtonFrames {
  readonly #compiled: CompiledShow;
  readonly #picture: Picture;
  readonly #canvas: Canvas;
  readonly #empty: PlayState;
  readonly #heads: readonly number[];
  readonly #moments: number;

  constructor(compiled: CompiledShow) {
    this.#compiled = compiled;
    this.#picture = new Picture(compiled.rig);
    this.#canvas = canvasFor(compiled);
    this.#empty = freshState({ ...compiled, start: [] }, 0);
    this.#heads = this.#picture.heads;
    this.#moments = compiled.show.buttons.length * compiled.rig.fixtures.length > MOST_TOLD ? 1 : MOMENTS;
  }

  of(items: readonly (readonly [ItemKey, Item])[], touched: BitSet): ButtonFrame[] {
    const { rig } = this.#compiled;
    const state = items.reduce(
      (on, [key], i) =>
        start(
          this.#compiled,
          on,
          key,
          undefined,
          0,
          items.slice(i + 1).map(([one]) => one),
        ),
      this.#empty,
    );
    const come = Math.max(0, ...items.map(([, { fadeIn }]) => fadeIn));
    const moves = items.some(([, { kind }]) => kind === 'chase' || kind === 'movement');
    const places = new Set(membersOf(touched));
    return Array.from({ length: moves ? this.#moments : 1 }, (_, i) => {
      const frame = render(this.#compiled, state, come + i * BETWEEN, Float64Array.from(rig.rest), this.#canvas);
      this.#lift(frame, items, places);
      const colours = this.#picture
        .colours(frame)
        .flatMap((colour, place) => (colour !== 0 && places.has(place) ? [place, colour] : []));
      const aims = this.#picture.aims(frame).flatMap((angle, at) => (places.has(this.#heads[at >> 1] ?? -1) ? [at, angle] : []));
      return { colours, aims };
    });
  }

  /** What only moves, or only changes colours, is shown on lamps that are lit; else there would be nothing to see. */
  #lift(frame: Frame, items: readonly (readonly [ItemKey, Item])[], places: ReadonlySet<number>): void {
    const { rig } = this.#compiled;
    const named = new Set(items.flatMap(([, { program }]) => [...program.touches]));
    for (const place of places)
      for (const { cells } of rig.fixtures[place]?.lamps ?? []) {
        const dimmer = cells.get('Dimmer');
        if (dimmer !== undefined && !named.has(dimmer)) frame[dimmer] = LIT;
      }
  }
}

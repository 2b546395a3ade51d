import type { Frame } from '../core/frame.ts';
import type { Kept } from '../core/kept.ts';
import type { Levels } from '../core/levels.ts';
import { MOST_FLASHES } from '../core/limits.ts';
import { finish, type Steps } from '../core/steps.ts';
import type { Millis } from '../core/units.ts';
import { type DrivenSlot, Encoder } from '../dmx/encode.ts';
import { darken } from '../guards/blackout.ts';
import type { Guard, Held, Instant } from '../guards/guard.ts';
import { guards } from '../guards/list.ts';
import type { Playbook } from '../playback/compile.ts';
import { type Canvas, canvasFor, render } from '../playback/render.ts';
import { flashLimit, groupLevel, isHazeAllowed, levelOf, type PlayState } from '../playback/state.ts';
import { type ByHand, Hands, NOTHING_BY_HAND } from './by-hand.ts';
import { Resolver } from './resolve.ts';

/** A guard with what it remembers. */
interface Remembering {
  readonly guard: Guard;
  readonly memory: unknown;
}

/** Most flashes a second while nobody looks on. A careful choice of ours, no source. */
const FLASHES_LEFT = 1;

/** The way of a frame: what plays, what hands drive, where heads may go, the guards, slots. */
export class Pipeline {
  /** What was drawn last, as the guards left it. */
  readonly frame: Frame;
  readonly #show: Playbook;
  readonly #canvas: Canvas;
  readonly #hands: Hands;
  readonly #resolver: Resolver;
  /** The last frame that came out whole. */
  readonly #good: Frame;
  readonly #guards: readonly Remembering[];
  readonly #encoder: Encoder;
  readonly #dark: (frame: Frame) => void;
  readonly #instant: Instant;
  /** Slots of a show that is lost, as they stood last. */
  readonly #picture: readonly DrivenSlot[];
  #state: PlayState | undefined;
  #fault: string | undefined;
  readonly #acted = new Map<string, Set<number>>();

  private constructor(show: Playbook, levels: Levels, encoder: Encoder, built: readonly Remembering[]) {
    this.#show = show;
    this.frame = Float64Array.from(show.rig.rest);
    this.#canvas = canvasFor(show);
    this.#hands = new Hands(show.rig, levels);
    this.#resolver = new Resolver(show.rig);
    this.#good = Float64Array.from(show.rig.rest);
    this.#guards = built;
    this.#encoder = encoder;
    this.#picture = (show.picture ?? []).flatMap(({ universe, slots }) =>
      Array.from(slots, (value, i) => ({ universe, slot: i + 1, value })).filter(({ value }) => value > 0),
    );
    this.#dark = darken(show.rig);
    this.#instant = {
      now: 0,
      blackout: false,
      fallen: false,
      left: false,
      haze: false,
      lasers: false,
      crew: false,
      homing: false,
      all: 1,
      flashes: MOST_FLASHES,
      group: (id) => this.#groupLevel(id),
    };
  }

  /** @param rules the guards that every frame passes; fewer only to see what each of them is there for */
  static for(show: Playbook, levels: Levels, rules = guards): Pipeline {
    return finish(Pipeline.making(show, levels, undefined, rules));
  }

  /** {@link Pipeline.for} in steps. `before` lends what is the same as long as the rig is. */
  static *making(show: Playbook, levels: Levels, before?: Pipeline, rules = guards): Steps<Pipeline> {
    const encoder =
      before !== undefined && before.#show.rig === show.rig ? before.#encoder : yield* Encoder.making(show.rig, levels);
    const built: Guard[] = [];
    for (const build of rules) {
      yield;
      built.push(build(show, show.rig));
    }
    yield;
    // What guards remember is handed over at once, with no frame in between: what happened in that would be forgotten.
    const remembering = built.map((guard, i) => ({
      guard,
      memory: guard.memory(before === undefined ? undefined : before.#guards[i]?.memory),
    }));
    return new Pipeline(show, levels, encoder, remembering);
  }

  /** Draws the instant into the levels. A guard or a program that throws gives a dark frame in which nothing moves, never an unguarded one. */
  run(state: PlayState, now: Millis, byHand: ByHand = NOTHING_BY_HAND): void {
    this.#state = state;
    this.#instant.now = now;
    this.#instant.blackout = state.blackout;
    this.#instant.fallen = state.alone;
    this.#instant.left = state.left !== undefined && now < state.left.until;
    this.#instant.haze = isHazeAllowed(state, now);
    this.#instant.crew = state.crew !== undefined;
    this.#instant.homing = state.homing !== undefined && now < state.homing.until;
    this.#instant.lasers = state.lasers !== undefined && !state.alone && !this.#instant.left && !this.#instant.crew;
    this.#instant.flashes = this.#instant.left ? FLASHES_LEFT : flashLimit(state);
    this.#instant.all = levelOf(state.all, now);
    let failed = false;
    try {
      render(this.#show, state, now, this.frame, this.#canvas);
      this.#hands.lay(byHand, this.frame);
      this.#resolver.resolve(this.frame);
      for (const { guard, memory } of this.#guards) if (guard.step(this.frame, this.#instant, memory)) this.#note(guard, memory);
      this.#good.set(this.frame);
    } catch (error) {
      failed = true;
      this.#fault = error instanceof Error ? error.message : String(error);
      this.frame.set(this.#good);
      this.#dark(this.frame);
    }
    const dark = state.blackout || failed;
    const exact = failed ? NOTHING_BY_HAND.slots : this.#hands.exact(this.frame, dark);
    this.#encoder.encode(this.frame, this.#picture.length === 0 || dark ? exact : [...this.#picture, ...exact]);
  }

  /** The guards that have changed a frame since this was last asked, and those that would have something known now. */
  takeActed(): Held[] {
    const acted = Array.from(this.#acted, ([guard, places]) => ({ guard, places: [...places].sort((a, b) => a - b) }));
    this.#acted.clear();
    const warnings = this.#guards.flatMap(({ guard: { warns }, memory }) => {
      const places = warns === undefined ? [] : [...new Set(warns.of(memory))].sort((a, b) => a - b);
      return warns === undefined || places.length === 0 ? [] : [{ guard: warns.name, places }];
    });
    return [...acted, ...warnings];
  }

  #note(guard: Guard, memory: unknown): void {
    const places = this.#acted.get(guard.name) ?? new Set<number>();
    this.#acted.set(guard.name, places);
    for (const place of guard.held?.(memory) ?? []) places.add(place);
  }

  /** What of the guards' memories a restart must not forgive, by their names. */
  kept(): Record<string, Kept> {
    const kept: Record<string, Kept> = {};
    for (const { guard, memory } of this.#guards) {
      const own = guard.kept?.(memory);
      if (own !== undefined && Object.keys(own).length > 0) kept[guard.name] = own;
    }
    return kept;
  }

  /** Takes that over from the run before; to be called before the first frame. */
  recall(kept: Readonly<Record<string, Kept>>): void {
    for (const { guard, memory } of this.#guards) guard.recall?.(memory, kept[guard.name] ?? {});
  }

  /** What went wrong in the frames since it was last asked, or undefined. */
  takeFault(): string | undefined {
    const fault = this.#fault;
    this.#fault = undefined;
    return fault;
  }

  #groupLevel(id: string): number {
    return this.#state === undefined ? 1 : groupLevel(this.#state, id, this.#instant.now);
  }
}

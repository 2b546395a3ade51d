import { SLOTS } from '../../core/levels.ts';
import type { Clock } from '../../core/ports.ts';
import { LEVELS_HEADER } from '../../core/remote.ts';
import { toldReports } from '../../core/report.ts';
import type { Millis, Universe } from '../../core/units.ts';
import type { Engine } from '../../engine/engine.ts';
import type { CompiledShow } from '../../playback/compile.ts';
import type { Rig } from '../../rig/rig.ts';
import type { Remote } from '../../store/remotes.ts';
import type { ForeignSource, Hello, State, ToRemote } from '../contract.ts';
import type { Control } from '../control.ts';
import { stateOf } from '../state.ts';
import type { NodeFacts } from '../status.ts';
import { summaryOf } from '../summary.ts';
import type { Connection } from './connection.ts';
import { Light } from './light.ts';

/** States go out at most this often, pictures in two turns of three, what is seen five times a second, levels as each watcher wants them. */
const STATE_EVERY: Millis = 50;
const TURN: Millis = 1000 / 30;
const PICTURE_TURNS = 3;
const SEEN_TURNS = 6;
const SECOND_TURNS = 30;
const REPORT_TURNS = 15;

/** Edits within this time are told as one change of the show. */
const EDITS_TOGETHER: Millis = 500;

export interface BroadcastParts {
  readonly control: Pick<Control, 'show' | 'state' | 'tonight' | 'lastSign' | 'diskFails' | 'lost'>;
  readonly engine: Pick<Engine, 'published' | 'report'>;
  readonly clock: Clock;
  readonly node: NodeFacts;
  readonly sources: () => readonly ForeignSource[];
}

/** What all remotes are told, and when. */
export class Broadcast {
  readonly #parts: BroadcastParts;
  readonly #connections: ReadonlySet<Connection>;
  #summary: { readonly of: CompiledShow; readonly text: string } | undefined;
  #light: Light | undefined;
  readonly #levels = new Map<Universe, Uint8Array>();
  #turns = 0;
  #timer: NodeJS.Timeout | undefined;
  #stateTimer: NodeJS.Timeout | undefined;
  #showTimer: NodeJS.Timeout | undefined;
  /** Lamps of the show that all were told last. */
  #toldRig: Rig | undefined;
  #stateAt: Millis = 0;
  /** Whether what was told last will be over by itself. */
  #toldRestless = false;
  #toldPhase: State['watch']['phase'] = 'free';

  constructor(parts: BroadcastParts, connections: ReadonlySet<Connection>) {
    this.#parts = parts;
    this.#connections = connections;
  }

  start(): void {
    this.#timer = setInterval(() => this.#turn(), TURN);
  }

  stop(): void {
    clearInterval(this.#timer);
    clearTimeout(this.#stateTimer);
    clearTimeout(this.#showTimer);
  }

  /** Something about what plays has changed: tell all, soon, and a burst of changes once. */
  changed(): void {
    if (this.#stateTimer !== undefined) return;
    const wait = Math.max(0, this.#stateAt + STATE_EVERY - this.#parts.clock.now());
    this.#stateTimer = setTimeout(() => this.#tellState(), wait);
  }

  /**
   * Another show plays: everybody needs its buttons. Of edits in quick succession that leave the lamps as they were, everybody is told together: a
   * summary weighs a thousand times what an edit does.
   */
  showChanged(): void {
    if (this.#parts.control.show.rig !== this.#toldRig) this.#tellShow();
    else this.#showTimer ??= setTimeout(() => this.#tellShow(), EDITS_TOGETHER);
    this.changed();
  }

  #tellShow(): void {
    clearTimeout(this.#showTimer);
    this.#showTimer = undefined;
    this.#toldRig = this.#parts.control.show.rig;
    for (const connection of this.#connections) connection.sendText(this.#helloText(connection.remote));
  }

  /** What a remote hears first. */
  greet(connection: Connection): void {
    connection.sendText(this.#helloText(connection.remote));
    const state = this.#state();
    connection.sendText(stateText(state));
    // From now on all know the same, and hear together when it is over.
    if (state.watch.phase !== this.#toldPhase) this.changed();
  }

  /** Somebody was heard of: whoever has come back need not read a warning any more. */
  alive(): void {
    if (this.#toldPhase === 'warned') this.changed();
  }

  /** The summary of a show is the same for all and the dearest thing here, so it is written once a show. */
  #helloText({ id, name, role }: Remote): string {
    const { control, node, clock } = this.#parts;
    const { show } = control;
    if (this.#summary?.of !== show) this.#summary = { of: show, text: JSON.stringify(summaryOf(show)) };
    const head = JSON.stringify({
      type: 'hello',
      you: { id, name, role },
      node: { name: node.name, version: node.version },
      now: clock.now(),
      wall: clock.wall(),
    } satisfies Omit<Hello, 'show'>);
    return `${head.slice(0, -1)},"show":${this.#summary.text}}`;
  }

  #turn(): void {
    if (this.#connections.size === 0) return;
    this.#turns++;
    const now = this.#parts.clock.now();
    for (const one of this.#connections) one.turn(now);
    this.#offerLevels();
    if (this.#turns % PICTURE_TURNS !== 0) this.#light = this.#lightNow(now);
    if (this.#turns % SEEN_TURNS === 0) this.#offerSeen(now);
    if (this.#turns % REPORT_TURNS === 0) this.#offerReport();
    if (this.#turns % SECOND_TURNS === 0) this.#mindRestless();
  }

  /** While something is on its way, or was when remotes were told last, they are told every second: a fade may be shorter than that. */
  #mindRestless(): void {
    const state = this.#state();
    if (isRestless(state) || this.#toldRestless || state.watch.phase !== this.#toldPhase) this.changed();
  }

  #state(): State {
    return stateOf(this.#parts.control, this.#parts.engine.report, this.#parts.clock.now());
  }

  #tellState(): void {
    this.#stateTimer = undefined;
    this.#stateAt = this.#parts.clock.now();
    const state = this.#state();
    this.#toldPhase = state.watch.phase;
    this.#toldRestless = isRestless(state);
    const text = stateText(state);
    for (const connection of this.#connections) connection.sendText(text);
  }

  /** Looks at the light that goes out, and tells the phones what is new of it. */
  #lightNow(now: Millis): Light {
    const { control, engine } = this.#parts;
    const { published } = engine;
    const light =
      this.#light?.of === published && this.#light.show === control.show
        ? this.#light
        : new Light(control.show, published, this.#light);
    light.look(now);
    for (const connection of this.#connections) connection.show(light.picture, light);
    return light;
  }

  #offerSeen(now: Millis): void {
    const { control, engine } = this.#parts;
    const text = this.#light?.inWords({ state: control.state, report: engine.report, now });
    if (text !== undefined) for (const connection of this.#connections) connection.offer('seen', text);
  }

  #offerLevels(): void {
    const watchers = [...this.#connections].filter(
      ({ wireRate }) => wireRate > 0 && this.#turns % Math.max(1, Math.round(30 / wireRate)) === 0,
    );
    if (watchers.length === 0) return;
    for (const universe of this.#parts.engine.published.levels.universes) {
      const message = this.#levelsOf(universe);
      for (const watcher of watchers) watcher.offer(universe, message);
    }
  }

  /** A binary frame as `core/remote.ts` has it; the same one for as long as nothing changes. */
  #levelsOf(universe: Universe): Uint8Array {
    const message = new Uint8Array(LEVELS_HEADER + SLOTS);
    message[0] = universe >> 8;
    message[1] = universe & 0xff;
    this.#parts.engine.published.levels.snapshot(universe, message.subarray(LEVELS_HEADER));
    const before = this.#levels.get(universe);
    if (before !== undefined && Buffer.compare(before, message) === 0) return before;
    this.#levels.set(universe, message);
    return message;
  }

  #offerReport(): void {
    const { engine, node, sources } = this.#parts;
    const { report } = engine;
    const watchers = [...this.#connections].filter(({ wireRate }) => wireRate > 0);
    if (report === undefined || watchers.length === 0) return;
    const { outputs, frames, worstInterval } = report;
    const text = JSON.stringify({
      type: 'wire',
      outputs: toldReports(outputs),
      frames,
      rate: node.rate,
      worstInterval,
      sources: sources(),
    } satisfies ToRemote);
    for (const watcher of watchers) watcher.offer('wire', text);
  }
}

const stateText = (state: State): string => JSON.stringify({ type: 'state', state } satisfies ToRemote);

/** Whether something of it will be over without anybody doing anything. */
const isRestless = ({ watch, buttons, troubles }: State): boolean =>
  watch.phase === 'warned' || troubles.length > 0 || buttons.some(({ state }) => state === 'coming' || state === 'going');

import { Worker } from 'node:worker_threads';
import type { Command } from '../core/commands.ts';
import { Levels } from '../core/levels.ts';
import type { Millis } from '../core/units.ts';
import type { CompiledShow } from '../playback/compile.ts';
import type { PlayState } from '../playback/state.ts';
import type { ByHand, EngineReport, EngineSettings, FromEngine, Load, ToEngine } from './messages.ts';

/** How long the engine may take over its goodbyes before it is ended. */
const STOP_WITHIN: Millis = 500;

export interface EngineEvents {
  /** The first frame is on its way. */
  readonly firstFrame: (at: Millis) => void;
  /** The engine did something by itself; the main thread follows. */
  readonly acted: (command: Command, at: Millis) => void;
  readonly log: (line: string) => void;
  /** The worker died: a bug. The process must end, so that the service manager starts it afresh. */
  readonly died: (error: Error) => void;
}

/** The main thread's hand on the engine: sends it commands and shows, reads its levels and reports. */
export class Engine {
  readonly #events: EngineEvents;
  readonly #settings: Omit<EngineSettings, 'load'>;
  #worker: Worker | undefined;
  #levels: Levels = new Levels([]);
  #report: EngineReport | undefined;
  #stopping = false;

  constructor(settings: Omit<EngineSettings, 'load'>, events: EngineEvents) {
    this.#settings = settings;
    this.#events = events;
  }

  start(show: CompiledShow, state: PlayState): void {
    const load = this.#loadOf(show, state);
    const settings: EngineSettings = { ...this.#settings, load };
    const worker = new Worker(new URL('./thread.js', import.meta.url), { workerData: settings });
    worker.on('message', (message: FromEngine) => this.#take(message));
    worker.on('error', (error) => this.#events.died(error instanceof Error ? error : new Error(String(error))));
    worker.on('exit', () => {
      if (!this.#stopping) this.#events.died(new Error('the engine thread ended by itself'));
    });
    this.#worker = worker;
  }

  command(command: Command, at: Millis): void {
    this.#post({ kind: 'command', command, at });
  }

  byHand(byHand: ByHand): void {
    this.#post({ kind: 'by-hand', byHand });
  }

  /** Another show, or another revision of it, from the next frame on. */
  load(show: CompiledShow, state: PlayState): void {
    const before = this.#levels;
    const load = this.#loadOf(show, state);
    this.#worker?.postMessage({ kind: 'load', load } satisfies ToEngine);
    before.ring();
  }

  /** The levels that go to the wire now. */
  get levels(): Levels {
    return this.#levels;
  }

  /** The engine's last report on itself, at most half a second old; undefined before the first. */
  get report(): EngineReport | undefined {
    return this.#report;
  }

  /** Resolves when the universes are terminated on the wire and the thread has ended. */
  async stop(): Promise<void> {
    const worker = this.#worker;
    if (worker === undefined || this.#stopping) return;
    this.#stopping = true;
    const ended = new Promise<void>((resolve) => worker.once('exit', () => resolve()));
    const late = setTimeout(() => void worker.terminate(), STOP_WITHIN);
    this.#post({ kind: 'stop' });
    await ended;
    clearTimeout(late);
  }

  #post(message: ToEngine): void {
    this.#worker?.postMessage(message);
    this.#levels.ring();
  }

  #loadOf(show: CompiledShow, state: PlayState): Load {
    this.#levels = new Levels(show.rig.universes);
    return { show: show.show, state, universes: show.rig.universes, memory: this.#levels.memory };
  }

  #take(message: FromEngine): void {
    switch (message.kind) {
      case 'first-frame':
        this.#events.firstFrame(message.at);
        break;
      case 'command':
        this.#events.acted(message.command, message.at);
        break;
      case 'report':
        this.#report = message.report;
        break;
      case 'log':
        this.#events.log(message.line);
        break;
      case 'stopped':
        break;
    }
  }
}

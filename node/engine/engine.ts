import { setTimeout } from 'node:timers/promises';
import { MessageChannel, type MessagePort, type Worker } from 'node:worker_threads';
import { Bell } from '../core/bell.ts';
import type { Command } from '../core/commands.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import { Published } from '../core/published.ts';
import type { Millis } from '../core/units.ts';
import type { ByHand } from '../pipeline/by-hand.ts';
import type { CompiledShow } from '../playback/compile.ts';
import type { PlayState } from '../playback/state.ts';
import type { Acted, EngineBeginning, EngineReport, EngineSettings, FromEngine, ToEngine } from './messages.ts';
import { type LoadPart, partsOf } from './takeover.ts';

/** How long the engine may take over its goodbyes before it is ended. */
const STOP_WITHIN: Millis = 500;
/** In which time a frame goes out that is asked for, at any rate but the lowest. */
const TOLD_WITHIN: Millis = 60;

export interface EngineEvents {
  /** The first frame is on its way. */
  readonly firstFrame: (at: Millis) => void;
  /** What plays has changed, by these. `loaded`: the number of a load that the engine has just taken over. */
  readonly played: (state: PlayState, acted: readonly Acted[], loaded: number | undefined) => void;
  /** How it fares, twice a second. */
  readonly reported: (report: EngineReport) => void;
  readonly log: (line: string) => void;
  /** The worker died: a bug. The process must end, so that the service manager starts it afresh. */
  readonly died: (error: Error) => void;
}

/** The main thread's hand on the engine: sends it commands and shows, reads what it publishes and reports. */
export class Engine {
  readonly #events: EngineEvents;
  readonly #settings: Omit<EngineSettings, 'parts' | 'state' | 'outputs' | 'kept' | 'bell'>;
  readonly #bell = new Bell();
  readonly #worker: Worker;
  #port: MessagePort | undefined;
  #published = new Published([], 0);
  /** The show that the engine plays, and the one that is on its way. */
  #playing: CompiledShow | undefined;
  #coming: { readonly show: CompiledShow; readonly published: Published } | undefined;
  #loads = 0;
  #report: EngineReport | undefined;
  #number: number | undefined;
  #thread: number | undefined;
  #stopping = false;

  /** @param worker of `thread.ts`: it may be made long before, to load meanwhile */
  constructor(
    worker: Worker,
    settings: Omit<EngineSettings, 'parts' | 'state' | 'outputs' | 'kept' | 'bell'>,
    events: EngineEvents,
  ) {
    this.#worker = worker;
    this.#settings = settings;
    this.#events = events;
  }

  /** @param kept what guards kept of the run before */
  start(show: CompiledShow, state: PlayState, outputs: readonly OutputSettings[], kept?: EngineSettings['kept']): void {
    const parts = [...this.#partsOf(show)];
    this.#takeOver();
    this.#number = state.number;
    const settings: EngineSettings = { ...this.#settings, bell: this.#bell.memory, parts, state, outputs, kept };
    const { port1: own, port2: port } = new MessageChannel();
    own.on('message', (message: FromEngine) => this.#take(message));
    own.on('messageerror', (error) => this.#events.died(error));
    const worker = this.#worker;
    worker.on('error', (error) => this.#events.died(error instanceof Error ? error : new Error(String(error))));
    worker.on('exit', () => {
      if (!this.#stopping) this.#events.died(new Error('the engine thread ended by itself'));
    });
    const beginning: EngineBeginning = { settings, port };
    worker.postMessage(beginning, [port]);
    this.#port = own;
  }

  /** Hands a command over. @returns its number, by which `played` will tell that it has been carried out. */
  command(command: Command): number {
    const number = (this.#number ?? 0) + 1;
    this.#number = number;
    this.#post({ kind: 'command', number, command });
    return number;
  }

  byHand(byHand: ByHand): void {
    this.#post({ kind: 'by-hand', byHand });
  }

  outputs(outputs: readonly OutputSettings[]): void {
    this.#post({ kind: 'outputs', outputs });
  }

  /** In which time zone the moments of the evening have their times from now on. */
  zone(zone: string): void {
    this.#post({ kind: 'zone', zone });
  }

  /**
   * Hands another show over, or another revision of it; one at a time. What played before plays until it is made ready.
   * @returns the number that `played` tells then
   */
  load(show: CompiledShow): number {
    for (const part of this.#partsOf(show)) this.#post({ kind: 'part', part });
    return this.#loads;
  }

  /** What goes to the wire now. */
  get published(): Published {
    return this.#published;
  }

  /** The engine's last report on itself, at most half a second old; undefined before the first. */
  get report(): EngineReport | undefined {
    return this.#report;
  }

  /** The system's number of its thread; undefined until it runs, and where there is none. */
  get thread(): number | undefined {
    return this.#thread;
  }

  /** Resolves when everybody has been told again, or should have been, and goes on playing: the process may end without a goodbye. */
  async pause(): Promise<void> {
    this.#post({ kind: 'repeat' });
    await setTimeout(TOLD_WITHIN);
  }

  /** Resolves when the universes are terminated on the wire and the thread has ended. */
  async stop(): Promise<void> {
    const worker = this.#worker;
    if (this.#port === undefined || this.#stopping) return;
    this.#stopping = true;
    const ended = new Promise<void>((resolve) => worker.once('exit', () => resolve()));
    const late = globalThis.setTimeout(() => void worker.terminate(), STOP_WITHIN);
    this.#post({ kind: 'stop' });
    await ended;
    clearTimeout(late);
  }

  #post(message: ToEngine): void {
    this.#port?.postMessage(message);
    this.#bell.ring();
  }

  #take(message: FromEngine): void {
    switch (message.kind) {
      case 'thread':
        this.#thread = message.id;
        break;
      case 'first-frame':
        this.#events.firstFrame(message.at);
        break;
      case 'state':
        if (message.loaded !== undefined) this.#takeOver();
        this.#events.played(message.state, message.acted, message.loaded);
        break;
      case 'report':
        this.#report = message.report;
        this.#events.reported(message.report);
        break;
      case 'log':
        this.#events.log(message.line);
        break;
      case 'stopped':
        break;
    }
  }

  #partsOf(show: CompiledShow): Iterable<LoadPart> {
    const before = this.#playing;
    const { universes, rest } = show.rig;
    const published = before?.rig === show.rig ? undefined : new Published(universes, rest.length);
    this.#coming = { show, published: published ?? this.#published };
    return partsOf(++this.#loads, show, published?.memory, before);
  }

  #takeOver(): void {
    if (this.#coming === undefined) return;
    this.#playing = this.#coming.show;
    this.#published = this.#coming.published;
    this.#coming = undefined;
  }
}

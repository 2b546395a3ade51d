import type { Heartbeat } from '../core/heartbeat.ts';
import { Levels } from '../core/levels.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { Clock, Link, Output } from '../core/ports.ts';
import type { Hertz, Millis } from '../core/units.ts';
import { type CompiledShow, compileShow } from '../playback/compile.ts';
import { reduce } from '../playback/reduce.ts';
import type { PlayState } from '../playback/state.ts';
import { dueBySilence, SILENCE } from '../playback/watch.ts';
import type { ByHand, FromEngine, Load, ToEngine } from './messages.ts';
import { Schedule } from './schedule.ts';
import { Tick } from './tick.ts';

/**
 * How often the links are looked at. What is sent between a cable's going and its being missed, the kernel keeps for as long as it asks
 * for the receiver's address, and lets go all at once when the cable is back.
 */
const LOOK_AT_LINKS: Millis = 100;
/** How often a report is made. */
const REPORT: Millis = 500;
/** A shorter rest is not worth the call: the frame is drawn a hair early instead. */
const SHORTEST_SLEEP: Millis = 0.05;

export interface LoopHost {
  readonly clock: Clock;
  readonly heartbeat: Heartbeat;
  readonly links: () => readonly Link[];
  /** Links as one text, to see a change cheaply. */
  readonly linksKey: (links: readonly Link[]) => string;
  readonly buildOutput: (settings: OutputSettings) => Output;
  /** Takes one waiting message, if there is one. */
  readonly take: () => ToEngine | undefined;
  readonly post: (message: FromEngine) => void;
}

/** The engine's working loop: messages, a frame when one is due, sleep. It never waits for anybody else. */
export class Loop {
  readonly #host: LoopHost;
  readonly #schedule: Schedule;
  #show: CompiledShow;
  #state: PlayState;
  #levels: Levels;
  #tick: Tick;
  #outputs: ReadonlyMap<string, Output> = new Map();
  #outputKeys = '';
  #links: readonly Link[] = [];
  #linksKey = '';
  #lookedAt: Millis = Number.NEGATIVE_INFINITY;
  #reportedAt: Millis = Number.NEGATIVE_INFINITY;
  #drawnAt: Millis = Number.NaN;
  #worst: Millis = 0;
  #frames = 0;
  #byHand: ByHand = { slots: [] };

  constructor(host: LoopHost, load: Load, rate: Hertz) {
    this.#host = host;
    this.#schedule = new Schedule(rate, host.clock.now());
    this.#show = compileShow(load.show);
    this.#state = load.state;
    this.#levels = new Levels(load.universes, load.memory);
    this.#tick = new Tick(this.#show, this.#levels);
  }

  start(): void {
    this.#linkUp(this.#host.clock.now());
    this.#rebuildOutputs(this.#host.clock.now());
  }

  /** One round. False when the loop has been told to stop and has said its goodbyes. */
  round(): boolean {
    const heard = this.#levels.bell();
    if (!this.#takeMessages()) return false;
    const rest = this.#schedule.next() - this.#host.clock.now();
    if (rest > SHORTEST_SLEEP) {
      this.#levels.sleep(heard, rest);
      if (!this.#takeMessages()) return false;
    }
    const now = this.#host.clock.now();
    if (this.#schedule.next() - now <= SHORTEST_SLEEP) this.#frame(now);
    this.#lookRound(now);
    return true;
  }

  #frame(now: Millis): void {
    this.#mindSilence(now);
    this.#tick.run(this.#state, now, this.#byHand);
    let sent = 0;
    for (const output of this.#outputs.values()) sent += output.flush(this.#levels, now);
    this.#schedule.drawn(now, sent > 0);
    if (now - this.#drawnAt > this.#worst) this.#worst = now - this.#drawnAt;
    this.#drawnAt = now;
    if (this.#frames++ === 0) this.#host.post({ kind: 'first-frame', at: now });
  }

  /** When nobody is heard of, the engine acts by itself: it asks neither the main thread nor whether there still is one. */
  #mindSilence(now: Millis): void {
    const lastSign = this.#host.heartbeat.last();
    if (now - lastSign >= SILENCE && this.#byHand.slots.length + (this.#byHand.identify ?? '').length > 0)
      this.#byHand = { slots: [] };
    const command = dueBySilence(this.#show, this.#state, lastSign, now);
    if (command === undefined) return;
    this.#state = reduce(this.#show, this.#state, command, now);
    this.#host.post({ kind: 'command', command, at: now });
  }

  /** Everything that can wait for a frame that has just gone out. */
  #lookRound(now: Millis): void {
    if (now - this.#lookedAt < LOOK_AT_LINKS) return;
    this.#lookedAt = now;
    this.#linkUp(now);
    if (now - this.#reportedAt < REPORT) return;
    this.#reportedAt = now;
    const fault = this.#tick.takeFault();
    if (fault !== undefined)
      this.#host.post({ kind: 'log', line: `A frame could not be drawn, so the room was kept dark: ${fault}` });
    const outputs = [...this.#outputs.values()].map((output) => output.report(now));
    this.#host.post({ kind: 'report', report: { at: now, frames: this.#frames, worstInterval: this.#worst, outputs } });
    this.#worst = 0;
  }

  #takeMessages(): boolean {
    for (let message = this.#host.take(); message !== undefined; message = this.#host.take()) {
      switch (message.kind) {
        case 'command':
          this.#state = reduce(this.#show, this.#state, message.command, message.at);
          this.#schedule.ask();
          break;
        case 'load':
          this.#load(message.load);
          break;
        case 'by-hand':
          this.#byHand = message.byHand;
          this.#schedule.ask();
          break;
        case 'stop':
          this.#stop();
          return false;
      }
    }
    return true;
  }

  #load(load: Load): void {
    this.#show = compileShow(load.show);
    this.#state = load.state;
    this.#levels = new Levels(load.universes, load.memory);
    this.#tick = new Tick(this.#show, this.#levels);
    this.#rebuildOutputs(this.#host.clock.now());
    this.#schedule.ask();
  }

  #linkUp(now: Millis): void {
    const links = this.#host.links();
    const key = this.#host.linksKey(links);
    if (key === this.#linksKey) return;
    this.#links = links;
    this.#linksKey = key;
    for (const output of this.#outputs.values()) output.relink(links, now);
  }

  /** Outputs whose settings are the same stay as they are, with their sequence numbers; the others say goodbye. */
  #rebuildOutputs(now: Millis): void {
    const settings = this.#show.show.outputs;
    const key = JSON.stringify(settings);
    if (key !== this.#outputKeys) {
      for (const output of this.#outputs.values()) output.stop(now);
      this.#outputs = new Map(settings.map((one) => [one.id, this.#host.buildOutput(one)]));
      this.#outputKeys = key;
      for (const output of this.#outputs.values()) output.relink(this.#links, now);
    }
    for (const one of settings) {
      const carried =
        one.universes === undefined ? this.#levels.universes : this.#levels.universes.filter((u) => one.universes?.includes(u));
      this.#outputs.get(one.id)?.carry(carried, now);
    }
  }

  #stop(): void {
    const now = this.#host.clock.now();
    for (const output of this.#outputs.values()) output.stop(now);
    this.#outputs = new Map();
    this.#host.post({ kind: 'stopped' });
  }
}

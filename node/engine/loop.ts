import type { Bell } from '../core/bell.ts';
import type { Command } from '../core/commands.ts';
import type { Heartbeat } from '../core/heartbeat.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { Clock, Link, Output } from '../core/ports.ts';
import { finish, type Steps } from '../core/steps.ts';
import type { Millis } from '../core/units.ts';
import { NOTHING_BY_HAND } from '../pipeline/by-hand.ts';
import { dueBySilence, SILENCE } from '../playback/fallback.ts';
import { changeShow, reduce } from '../playback/reduce.ts';
import type { PlayState } from '../playback/state.ts';
import { EveningPlan } from './evening-plan.ts';
import type { Acted, EngineSettings, FromEngine, ToEngine } from './messages.ts';
import { OutputSet } from './output-set.ts';
import { Schedule } from './schedule.ts';
import { Intake, type LoadPart, type Ready } from './takeover.ts';

/** How often the links are looked at; for a second after a change behind every frame, as a cable that slips is back soon. */
const LOOK_AT_LINKS: Millis = 100;
const WATCHFUL: Millis = 1000;
/** How often outputs are tended to where frames come less often. */
const TEND: Millis = 100;
/** How often a report is made. */
const REPORT: Millis = 500;
/** A shorter rest is not worth the call: the frame is drawn a hair early instead. */
const SHORTEST_SLEEP: Millis = 0.05;
/** Time of a round that a show which is being made ready may take, and what it leaves free before the next frame. */
const LONGEST_SLICE: Millis = 5;
const LEFT_FREE: Millis = 2;

export interface LoopHost {
  readonly clock: Clock;
  /** Rings when there is a message. */
  readonly bell: Bell;
  readonly heartbeat: Heartbeat;
  /** The links as they are, or undefined while the system cannot say. */
  readonly links: () => readonly Link[] | undefined;
  /** Links as one text, to see a change cheaply. */
  readonly linksKey: (links: readonly Link[]) => string;
  readonly buildOutput: (settings: OutputSettings) => Output;
  /** Takes one waiting message, if there is one. */
  readonly take: () => ToEngine | undefined;
  readonly post: (message: FromEngine) => void;
}

/**
 * The engine's working loop: messages, a frame when one is due, sleep. It never waits for anybody else. It alone changes what plays, and
 * tells of every change.
 */
export class Loop {
  readonly #host: LoopHost;
  readonly #schedule: Schedule;
  readonly #outputs: OutputSet;
  readonly #startsWith: readonly OutputSettings[];
  #playing: Ready;
  readonly #intake = new Intake();
  #coming: Steps<Ready> | undefined;
  #partsFollow = false;
  #state: PlayState;
  #acted: Acted[] = [];
  #linksKey = '';
  #lookedAt: Millis = Number.NEGATIVE_INFINITY;
  #relinkedAt: Millis = Number.NEGATIVE_INFINITY;
  #reportedAt: Millis = Number.NEGATIVE_INFINITY;
  /** When the outputs had their last turn, in a frame or between. */
  #sentAt: Millis = Number.NEGATIVE_INFINITY;
  #drawnAt: Millis = Number.NaN;
  #worst: Millis = 0;
  #frames = 0;
  readonly #plan: EveningPlan;
  #byHand = NOTHING_BY_HAND;

  constructor(
    host: LoopHost,
    { parts, state, outputs, rate, zone, kept }: Pick<EngineSettings, 'parts' | 'state' | 'outputs' | 'rate' | 'zone' | 'kept'>,
  ) {
    this.#host = host;
    this.#schedule = new Schedule(rate, host.clock.now());
    this.#playing = this.#first(parts);
    if (kept !== undefined) this.#playing.pipeline.recall(kept);
    this.#state = state;
    this.#outputs = new OutputSet(host.buildOutput);
    this.#startsWith = outputs;
    this.#plan = new EveningPlan(host.clock, zone, state.evening?.until);
  }

  start(): void {
    const now = this.#host.clock.now();
    // The links first: without one an output would say that it has no way out.
    this.#linkUp(now);
    this.#outputs.set(this.#startsWith, now);
    this.#outputs.carry(this.#playing.published.levels.universes, now);
  }

  /** One round. False when the loop has been told to stop and has said its goodbyes. */
  round(): boolean {
    const { clock, bell } = this.#host;
    const heard = bell.heard();
    if (!this.#takeMessages()) return false;
    this.#prepare();
    const rest = Math.min(this.#schedule.next(), this.#outputs.dueAt, this.#sentAt + TEND) - clock.now();
    if (rest > SHORTEST_SLEEP && this.#coming === undefined && !this.#partsFollow) {
      bell.sleep(heard, rest);
      if (!this.#takeMessages()) return false;
    }
    const now = clock.now();
    if (this.#schedule.next() - now <= SHORTEST_SLEEP) this.#frame(now);
    else if (now >= Math.min(this.#outputs.dueAt, this.#sentAt + TEND)) this.#tend(now);
    this.#lookRound(now);
    return true;
  }

  #frame(now: Millis): void {
    this.#actAlone(now);
    const { pipeline, published } = this.#playing;
    pipeline.run(this.#state, now, this.#byHand);
    this.#schedule.drawn(now, this.#outputs.flush(published.levels, now) > 0);
    this.#sentAt = now;
    published.frame.publish(pipeline.frame);
    if (now - this.#drawnAt > this.#worst) this.#worst = now - this.#drawnAt;
    this.#drawnAt = now;
    if (this.#frames++ === 0) this.#host.post({ kind: 'first-frame', at: now });
  }

  /** What falls due between frames: synchronization, and at low rates keep-alives, polls and answers to them. */
  #tend(now: Millis): void {
    this.#schedule.tended(now, this.#outputs.tend(now) > 0);
    this.#sentAt = now;
  }

  /** When nobody is heard of, or the evening goes on by its plan, the engine acts by itself: it asks neither the main thread nor whether there still is one. */
  #actAlone(now: Millis): void {
    const { heartbeat } = this.#host;
    const lastSign = heartbeat.last();
    if (now - lastSign >= SILENCE) this.#byHand = NOTHING_BY_HAND;
    const { show } = this.#playing;
    const command =
      dueBySilence(show, this.#state, lastSign, heartbeat.lastOperator(), now) ?? this.#plan.due(show, this.#state, lastSign, now);
    if (command === undefined) return;
    this.#reduce(command, now);
    this.#tell(now);
  }

  /** Everything that can wait for a frame that has just gone out. */
  #lookRound(now: Millis): void {
    if (now - this.#lookedAt < LOOK_AT_LINKS && now - this.#relinkedAt >= WATCHFUL) return;
    this.#lookedAt = now;
    this.#linkUp(now);
    if (now - this.#reportedAt < REPORT) return;
    this.#reportedAt = now;
    const fault = this.#playing.pipeline.takeFault();
    if (fault !== undefined)
      this.#host.post({ kind: 'log', line: `A frame could not be drawn, so the room was kept dark: ${fault}` });
    const { pipeline } = this.#playing;
    const [guards, kept] = [pipeline.takeActed(), pipeline.kept()];
    const report = { at: now, frames: this.#frames, worstInterval: this.#worst, ...this.#outputs.report(now), guards, kept };
    this.#host.post({ kind: 'report', report });
    this.#worst = 0;
  }

  #takeMessages(): boolean {
    for (let message = this.#host.take(); message !== undefined; message = this.#host.take()) {
      const now = this.#host.clock.now();
      switch (message.kind) {
        case 'command':
          this.#reduce(message.command, now, message.number);
          this.#schedule.ask();
          break;
        case 'part':
          this.#coming = this.#intake.take(message.part, this.#playing);
          // One a round: frames go out in between.
          this.#partsFollow = message.part.part !== 'end';
          this.#tell(now);
          return true;
        case 'outputs':
          this.#outputs.set(message.outputs, now);
          break;
        case 'zone':
          this.#plan.zone = message.zone;
          break;
        case 'by-hand':
          this.#byHand = message.byHand;
          this.#schedule.ask();
          break;
        case 'repeat':
          this.#outputs.repeat();
          this.#schedule.ask();
          break;
        case 'stop':
          this.#outputs.stop(now);
          this.#host.post({ kind: 'stopped' });
          return false;
      }
    }
    this.#tell(this.#host.clock.now());
    return true;
  }

  #first(parts: readonly LoadPart[]): Ready {
    const steps = parts.map((part) => this.#intake.take(part, undefined)).at(-1);
    if (steps === undefined) throw new Error('the first show did not come whole');
    return finish(steps);
  }

  #reduce(command: Command, now: Millis, number?: number): void {
    this.#state = reduce(this.#playing.show, this.#state, command, now, number);
    this.#acted.push(number === undefined ? { command } : { command, number });
  }

  /** Tells the main thread what plays now, once for all that has changed it. */
  #tell(now: Millis, loaded?: number): void {
    if (this.#acted.length === 0 && loaded === undefined) return;
    const acted = this.#acted;
    this.#acted = [];
    this.#host.post({ kind: 'state', at: now, state: this.#state, acted, ...(loaded === undefined ? {} : { loaded }) });
  }

  /** Works on the coming show for a slice of time, and takes it over when it is ready: between two frames. */
  #prepare(): void {
    const { clock } = this.#host;
    const until = Math.min(clock.now() + LONGEST_SLICE, this.#schedule.next() - LEFT_FREE);
    while (this.#coming !== undefined) {
      const { done, value } = this.#coming.next();
      if (done) this.#takeOver(value, clock.now());
      if (clock.now() >= until) return;
    }
  }

  #takeOver(ready: Ready, now: Millis): void {
    this.#coming = undefined;
    this.#state = changeShow(this.#playing.show, ready.show, this.#state, now);
    this.#playing = ready;
    this.#outputs.carry(ready.published.levels.universes, now);
    this.#schedule.ask();
    this.#tell(now, ready.number);
  }

  #linkUp(now: Millis): void {
    const links = this.#host.links();
    if (links === undefined) return;
    const key = this.#host.linksKey(links);
    if (key === this.#linksKey) return;
    this.#linksKey = key;
    this.#relinkedAt = now;
    this.#outputs.relink(links, now);
  }
}

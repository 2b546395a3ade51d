import type { Command } from '../core/commands.ts';
import { InputError } from '../core/errors.ts';
import type { Heartbeat } from '../core/heartbeat.ts';
import type { Clock } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';
import type { Engine } from '../engine/engine.ts';
import { type CompiledShow, compileShow } from '../playback/compile.ts';
import { adopt, freshState, reduce } from '../playback/reduce.ts';
import type { PlayState } from '../playback/state.ts';
import type { Show } from '../show/document.ts';
import { type OutputFlags, overrideOutputs } from '../show/override-outputs.ts';
import type { JournalTable } from '../store/journal.ts';
import type { ShowTable, StoredShow } from '../store/shows.ts';

/** A master under a thumb gives dozens of commands a second; the journal takes the last of them. */
const JOURNAL_WITHIN: Millis = 250;
/** What the disk refused is written again after this. */
const JOURNAL_AGAIN: Millis = 5000;

export interface ControlParts {
  readonly engine: Engine;
  readonly shows: ShowTable;
  readonly journal: JournalTable;
  readonly clock: Clock;
  readonly heartbeat: Heartbeat;
  /** What the command line says of outputs, over what any show says. */
  readonly flags: OutputFlags;
  /** What plays has changed; `show`: so has the show itself. */
  readonly changed: (what: 'state' | 'show') => void;
  /** Start afresh instead of going on with what was on. */
  readonly fresh: boolean;
  readonly log: (line: string) => void;
}

/**
 * The main thread's side of playing. It takes commands in, hands them to the engine, keeps the same state by the same pure rules, and
 * journals it. The engine comes first and the disk second: a slow card delays the answer, not the light.
 */
export class Control {
  readonly #parts: ControlParts;
  #stored: StoredShow;
  #show: CompiledShow;
  #state: PlayState;
  #unwritten: { who: string; command: Command | null; timer: NodeJS.Timeout } | undefined;
  #diskFails = false;

  /** Opens `stored`, going on with what the journal says was on when it last played. */
  constructor(parts: ControlParts, stored: StoredShow) {
    this.#parts = parts;
    this.#stored = stored;
    this.#show = compileShow(overrideOutputs(stored.show, parts.flags));
    this.#state = this.#remembered(stored.show.id);
  }

  start(): void {
    // Whoever starts the node is there.
    this.#parts.heartbeat.beat(this.#parts.clock.now());
    this.#parts.engine.start(this.#show, this.#state);
    this.#write('node', null);
  }

  get show(): CompiledShow {
    return this.#show;
  }

  get revision(): number {
    return this.#stored.revision;
  }

  /** When a person was last heard of. */
  get lastSign(): Millis {
    return this.#parts.heartbeat.last();
  }

  get state(): PlayState {
    return this.#state;
  }

  /** Whether the disk refuses what plays: after a power cut the node would not know of it. */
  get diskFails(): boolean {
    return this.#diskFails;
  }

  /**
   * Carries a command out. What a person asks is a sign of life; what follows from somebody's going is not. A button may be named by its id or by the words on it.
   * @returns the command with the ids of what it names.
   * @throws InputError when the show has no such button or group.
   */
  do(asked: Command, who: string, from: 'person' | 'nobody' = 'person'): Command {
    const command = this.#resolve(asked);
    const now = this.#parts.clock.now();
    if (from === 'person') this.#parts.heartbeat.beat(now);
    this.#parts.engine.command(command, now);
    this.#state = reduce(this.#show, this.#state, command, now);
    this.#parts.changed('state');
    if (command.do === 'master') this.#writeSoon(who, command);
    else this.#write(who, command);
    return command;
  }

  /** Whether the show has a button with this id. */
  has(button: string): boolean {
    return this.#show.buttons.has(button);
  }

  /** Whether a button, by its id, starts a hit. */
  startsHit(button: string): boolean {
    return this.#show.buttons.get(button)?.starts.some((key) => key.startsWith('hit:')) ?? false;
  }

  /** Follows what the engine did by itself. */
  follow(command: Command, at: Millis): void {
    this.#state = reduce(this.#show, this.#state, command, at);
    this.#write('node', command);
    this.#parts.changed('state');
  }

  /** Keeps a show as a new revision and plays it. What plays goes on, as far as the new revision still has it. */
  import(show: Show, origin: string): StoredShow {
    const now = this.#parts.clock.now();
    const compiled = compileShow(overrideOutputs(show, this.#parts.flags));
    const stored = this.#parts.shows.keep(show, origin, now);
    this.#state = stored.show.id === this.#stored.show.id ? adopt(compiled, this.#state, now, now) : freshState(compiled, now);
    this.#stored = stored;
    this.#show = compiled;
    this.#parts.engine.load(compiled, this.#state);
    this.#write(origin, null);
    this.#parts.changed('show');
    return stored;
  }

  /** Writes what is still unwritten. */
  stop(): void {
    if (this.#unwritten !== undefined) this.#write(this.#unwritten.who, this.#unwritten.command);
  }

  #remembered(id: string): PlayState {
    const now = this.#parts.clock.now();
    if (this.#parts.fresh) return freshState(this.#show, now);
    const last = this.#parts.journal.last();
    const sameShow = last !== undefined && this.#parts.shows.revision(last.revision)?.show.id === id;
    return sameShow ? adopt(this.#show, last.state, last.at, now) : freshState(this.#show, now);
  }

  #resolve(command: Command): Command {
    if (command.do === 'press' || command.do === 'release') return { ...command, button: this.#button(command.button) };
    if (command.do === 'master' && command.group !== undefined) {
      const groups = this.#show.show.groups;
      const found = groups.find(({ id, name }) => id === command.group || sameWords(name, command.group ?? ''));
      if (found === undefined)
        throw new InputError(`There is no group "${command.group}"; there is ${groups.map(({ name }) => name).join(', ')}`);
      return { ...command, group: found.id };
    }
    return command;
  }

  #button(text: string): string {
    const { buttons } = this.#show.show;
    const found = buttons.find(({ id }) => id === text) ?? buttons.find(({ name }) => sameWords(name, text));
    if (found === undefined)
      throw new InputError(`There is no button "${text}"; there is ${buttons.map(({ name }) => name).join(', ')}`);
    return found.id;
  }

  #writeSoon(who: string, command: Command | null, within = JOURNAL_WITHIN): void {
    const timer = this.#unwritten?.timer ?? setTimeout(() => this.stop(), within);
    this.#unwritten = { who, command, timer };
  }

  /** A disk that is full or broken costs no light: every row holds all that plays, so it is enough that a later one gets through. */
  #write(who: string, command: Command | null): void {
    clearTimeout(this.#unwritten?.timer);
    this.#unwritten = undefined;
    const { journal, clock, log } = this.#parts;
    try {
      journal.write({ at: clock.now(), revision: this.#stored.revision, who, command, state: this.#state });
      if (this.#diskFails) log('What plays is written down again.');
      this.#diskFails = false;
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      if (!this.#diskFails)
        log(`What plays cannot be written down (${reason}). The lights play on; a restart would not know of it.`);
      this.#diskFails = true;
      this.#writeSoon(who, command, JOURNAL_AGAIN);
    }
  }
}

const sameWords = (a: string, b: string): boolean => a.trim().toLowerCase() === b.trim().toLowerCase();

import type { Command } from '../core/commands.ts';
import { InputError } from '../core/errors.ts';
import type { Heartbeat } from '../core/heartbeat.ts';
import type { Clock } from '../core/ports.ts';
import { maySend } from '../core/roles.ts';
import type { Millis } from '../core/units.ts';
import type { Engine } from '../engine/engine.ts';
import type { Acted, EngineSettings } from '../engine/messages.ts';
import { Night } from '../plan/night.ts';
import { type CompiledShow, compileShow } from '../playback/compile.ts';
import { isOn, type PlayState } from '../playback/state.ts';
import type { ItemKey, Show } from '../show/document.ts';
import type { Editor } from '../store/edits.ts';
import type { Lost } from '../store/lost.ts';
import type { Start } from '../store/show-files.ts';
import type { BroughtShow } from '../store/shows.ts';
import type { Store } from '../store/store.ts';
import type { EditAnswer, Edited, EditRequest, RestoreRequest, SampleRequest, StepRequest } from './edit-contract.ts';
import { Editing } from './editing.ts';
import type { NodeSettings } from './node-settings.ts';

/** A master under a thumb, or what somebody pulls, gives dozens of states a second; the journal takes the last of them. */
const JOURNAL_WITHIN: Millis = 250;
/** How long the disk may take over a start before phones are let in all the same. */
const BEGUN_WITHIN: Millis = 1000;
/** What the disk refused is written again after this. */
const JOURNAL_AGAIN: Millis = 5000;

/** What has changed of what a running node tells. */
export type Changed = 'state' | 'show' | 'settings' | 'shelf';

export interface ControlParts {
  readonly engine: Pick<Engine, 'start' | 'command' | 'load' | 'outputs' | 'zone'>;
  readonly store: Pick<Store, 'ask' | 'keepState'>;
  readonly clock: Clock;
  readonly heartbeat: Heartbeat;
  readonly settings: NodeSettings;
  /** What plays has changed, the show itself, where it is sent, or which shows there are. */
  readonly changed: (what: Changed) => void;
  /** An edit was accepted. */
  readonly edited: (edit: Edited) => void;
  readonly log: (line: string) => void;
}

/** A show as it stands in the store, made ready to play. */
interface Playing {
  readonly revision: number;
  readonly show: CompiledShow;
}

interface Beginning extends Playing {
  /** What is written down of the start, with the show if that is not in the store yet. */
  readonly start: Omit<Start, 'shows'>;
  /** What was on when the show last played, by the clock of this run; or what it starts with. */
  readonly state: PlayState;
  /** The newest revision, where that is unfinished and an older one plays. */
  readonly draft?: { readonly show: Show; readonly revision: number };
  /** Who holds that back from the lights. */
  readonly held?: string;
  /** What the disk did not tell any more at the start. */
  readonly lost: readonly Lost[];
  /** Number of the newest row that the journal has, or had before it was lost; 0: none. */
  readonly row: number;
  /** What guards had counted in the run before. */
  readonly kept?: EngineSettings['kept'];
}

interface Asked {
  readonly who: string;
  readonly done: () => void;
}

/**
 * The main thread's side of playing. It hands commands to the engine, which alone knows what comes of them, mirrors what the engine says
 * and writes it down. Lights come first: the engine waits for nobody; whoever asked is answered when the disk has it.
 */
export class Control {
  readonly #parts: ControlParts;
  #playing: Playing;
  #state: PlayState;
  /** Commands on their way, by number. */
  readonly #asked = new Map<number, Asked>();
  /** Shows on their way, by the number of their load. */
  readonly #loading = new Map<number, { readonly playing: Playing; readonly isPassing: boolean; readonly done: () => void }>();
  readonly #editing: Editing;
  /** Absent once it is written down; while that is under way, the promise of it. */
  #start: Beginning['start'] | undefined;
  readonly #startedWith: Beginning['start'];
  #begun: Promise<void> = Promise.resolve();
  #starting: Promise<void> | undefined;
  #later: NodeJS.Timeout | undefined;
  #diskFails = false;
  #row: number;
  #lost: readonly Lost[];
  readonly #kept: EngineSettings['kept'];

  constructor(parts: ControlParts, { revision, show, state, draft, held, lost, start, row, kept }: Beginning) {
    this.#parts = parts;
    this.#start = start;
    this.#startedWith = start;
    this.#lost = lost;
    this.#row = row;
    this.#kept = kept;
    this.#playing = { revision, show };
    this.#state = state;
    const { store, clock, edited } = parts;
    this.#editing = new Editing(
      {
        store,
        clock,
        edited,
        playing: () => this.show,
        play: (next, isPassing) => this.#play({ revision: this.revision, show: next }, isPassing),
        revision: () => this.revision,
        kept: (stored) => {
          this.#playing = { ...this.#playing, revision: stored };
        },
      },
      { ...(draft ?? { show: show.show, revision }), held },
    );
  }

  start(): void {
    // Whoever starts the node is there.
    this.#parts.heartbeat.beat(this.#parts.clock.now());
    this.#parts.engine.start(this.#playing.show, this.#state, this.#parts.settings.outputs, this.#kept);
    this.#begun = this.#write('node', null);
  }

  /** Resolves when what plays has its number in the store, or when the disk refuses it or takes its time. */
  async begun(): Promise<void> {
    let late: NodeJS.Timeout | undefined;
    const waited = new Promise<void>((done) => {
      late = setTimeout(done, BEGUN_WITHIN);
    });
    await Promise.race([this.#begun, waited]);
    clearTimeout(late);
  }

  /**
   * The store was mended while it was in use, as `line` says. What plays, or what is edited, may be among what was lost of it: it is kept
   * there again.
   */
  storeMended(line: string): void {
    this.#lost = [...this.#lost, { happened: line, guestsSee: 'Guests see nothing of it.', todo: MENDED }];
    this.#start = this.#startedWith;
    this.#parts.changed('state');
    void this.#write('node', null);
  }

  /** What the engine plays now. */
  get show(): CompiledShow {
    return this.#playing.show;
  }

  get revision(): number {
    return this.#playing.revision;
  }

  /** Number of the newest row of the journal, as far as it is known; 0: there is none. */
  get row(): number {
    return this.#row;
  }

  /** What plays, as the engine last told it. */
  get state(): PlayState {
    return this.#state;
  }

  /** The night that it is, by the clock on the wall and where the node is. */
  get tonight(): Night {
    return new Night(this.#parts.clock.wall(), this.#parts.settings.zone);
  }

  /** When a person was last heard of. */
  get lastSign(): Millis {
    return this.#parts.heartbeat.last();
  }

  /** Whether the disk refuses what plays: after a power cut the node would not know of it. */
  get diskFails(): boolean {
    return this.#diskFails;
  }

  /** What was lost at the start, until somebody has seen the lights and pressed something; where all shows are lost, until one is there. */
  get lost(): readonly Lost[] {
    return this.#lost;
  }

  /**
   * Carries a command out. What a person asks is a sign of life; what follows from somebody's going is not. A button may be named by its
   * id or by the words on it.
   * @returns once it is on its way to the wire and written down, the command with the ids of what it names, and its number.
   * @throws InputError when the show has no such button or group.
   */
  async do(asked: Command, who: string, from: 'person' | 'nobody' = 'person'): Promise<{ command: Command; number: number }> {
    const command = this.resolve(asked);
    const { engine, clock, heartbeat } = this.#parts;
    if (from === 'person') {
      // Who asks for what only an operator may is one; else the line of a phone says who is there.
      heartbeat.beat(clock.now(), maySend('helper', command) ? 'helper' : 'operator');
      if (this.revision !== 0) this.#lost = [];
    }
    const number = engine.command(command);
    await new Promise<void>((done) => this.#asked.set(number, { who, done }));
    return { command, number };
  }

  /** Takes in what the engine says of itself. */
  played(state: PlayState, acted: readonly Acted[], loaded: number | undefined): void {
    this.#state = state;
    const load = loaded === undefined ? undefined : this.#loading.get(loaded);
    if (load !== undefined) this.#playing = load.playing;
    this.#parts.changed(load === undefined || load.isPassing ? 'state' : 'show');
    const asked = acted.map(({ command, number }) => ({
      command,
      from: number === undefined ? undefined : this.#asked.get(number),
    }));
    for (const { number } of acted) if (number !== undefined) this.#asked.delete(number);
    const last = asked.at(-1);
    // A sample of what somebody pulls is in no store, and leaves the state as it was.
    const isFleeting = (load === undefined || load.isPassing) && asked.every(({ command }) => command.do === 'master');
    const written = isFleeting
      ? this.#writeSoon(JOURNAL_WITHIN)
      : this.#write(last?.from?.who ?? 'node', last === undefined ? null : last.command);
    void written.then(() => {
      for (const { from } of asked) from?.done();
      load?.done();
    });
  }

  /** Whether the show has a button with this id. */
  has(button: string): boolean {
    return this.show.buttons.has(button);
  }

  /** Whether somebody tries a thing at present. */
  isTried(item: ItemKey): boolean {
    const now = this.#parts.clock.now();
    return this.#state.entries.some((entry) => entry.isTried === true && entry.item === item && isOn(entry, now));
  }

  /** Whether what a button, by its id, starts is on at present. */
  isOn(button: string): boolean {
    const starts = this.show.buttons.get(button)?.starts ?? [];
    return this.#state.entries.some((entry) => starts.includes(entry.item) && isOn(entry, this.#parts.clock.now()));
  }

  /** Whether a button, by its id, starts a hit. */
  startsHit(button: string): boolean {
    return this.show.buttons.get(button)?.starts.some((key) => key.startsWith('hit:')) ?? false;
  }

  /**
   * Keeps a show as a new revision and plays it. What plays goes on, as far as the new revision still has it.
   * @returns once it plays
   */
  import(show: Show, origin: string): Promise<BroughtShow> {
    return this.#editing.inTurn(() => this.#import(show, origin));
  }

  /**
   * Plays another show of the store, and what is edited from now on is that. What a person has set outlives it.
   * @returns once it plays
   * @throws (rejects with) InputError where there is none, or nothing of it can be played.
   */
  async open(id: string): Promise<void> {
    await this.#keepStart();
    return this.#editing.inTurn(async () => {
      if (id === this.draft.show.id && this.revision !== 0) return;
      const { store } = this.#parts;
      const { playable, draft, held } = await store.ask('openedShow', id);
      const compiled = compileShow(playable.show);
      await store.ask('unbinShow', id);
      await this.#play({ revision: playable.revision, show: compiled });
      this.#editing.begin({ ...draft, held });
      this.#lost = [];
      this.#parts.changed('state');
      this.#parts.changed('shelf');
    });
  }

  /** Calls a show otherwise: the one that plays by an edit like any other. */
  async rename(id: string, names: { readonly was: string; readonly now: string }, who: Editor): Promise<void> {
    const { store, clock, changed } = this.#parts;
    const at = clock.wall();
    if (id === this.draft.show.id) {
      const change = { do: 'set', kind: 'show', id, field: 'name', ...names } as const;
      const answer = await this.edit({ editId: `name-${id}-${at}`.slice(-64), changes: [change] }, who);
      if (!answer.ok) throw new InputError(`It is called "${this.draft.show.name}" meanwhile: somebody else has changed it`);
    } else await this.#editing.inTurn(() => store.ask('renameShow', id, names, who, at));
    changed('shelf');
  }

  /**
   * Puts a show into the bin, where it is kept.
   * @throws (rejects with) InputError for the one that plays.
   */
  bin(id: string, who: string): Promise<void> {
    const { store, clock, changed } = this.#parts;
    return this.#editing.inTurn(async () => {
      if (id === this.draft.show.id) throw new InputError('This show plays: open another one first');
      await store.ask('binShow', id, who, clock.wall());
      changed('shelf');
    });
  }

  /** Changes the show that plays a little. */
  async edit(request: EditRequest, who: Editor): Promise<EditAnswer> {
    await this.#keepStart();
    return this.#editing.edit(request, who);
  }

  /** As {@link Editing.sample}. */
  sample(request: SampleRequest, who: Editor, laid?: () => void): void {
    this.#editing.sample(request, who, laid);
  }

  /** What edits are made of: the newest revision, which need not be playable. */
  get draft(): { readonly show: Show; readonly revision: number; readonly held?: string | undefined } {
    return this.#editing.draft;
  }

  /** As {@link Editing.release}. */
  async release(): Promise<void> {
    await this.#editing.release();
    this.#parts.changed('shelf');
  }

  /** As {@link Editing.step}. */
  async step(request: StepRequest, who: Editor): Promise<EditAnswer> {
    await this.#keepStart();
    return this.#editing.step(request, who);
  }

  /** As {@link Editing.restore}. */
  async restore(request: RestoreRequest, who: Editor): Promise<EditAnswer> {
    await this.#keepStart();
    return this.#editing.restore(request, who);
  }

  /** Sends what plays where the settings now say. */
  settingsChanged(): void {
    this.#parts.engine.outputs(this.#parts.settings.outputs);
    this.#parts.engine.zone(this.#parts.settings.zone);
    this.#parts.changed('settings');
  }

  /** Writes what is still unwritten. */
  async stop(): Promise<void> {
    this.#editing.stop();
    if (this.#later !== undefined) await this.#write('node', null);
    clearTimeout(this.#later);
  }

  async #import(show: Show, origin: string): Promise<BroughtShow> {
    const compiled = compileShow(show);
    const stored = await this.#parts.store.ask('keepShow', show, origin, this.#parts.clock.wall());
    await this.#play({ revision: stored.revision, show: compiled });
    this.#editing.begin({ show: stored.show, revision: stored.revision });
    this.#lost = [];
    this.#parts.changed('state');
    this.#parts.changed('shelf');
    return stored;
  }

  /** Resolves when the engine plays it, and what plays of it is written down. */
  async #play(playing: Playing, isPassing = false): Promise<void> {
    const number = this.#parts.engine.load(playing.show);
    await new Promise<void>((done) => this.#loading.set(number, { playing, isPassing, done }));
    this.#loading.delete(number);
  }

  /**
   * A command with the ids of what it names: a button may be named by the words on it.
   * @throws InputError when the show has no such button, group or moment.
   */
  resolve(command: Command): Command {
    if (command.do === 'press' || command.do === 'release') return { ...command, button: this.#button(command.button) };
    if (command.do === 'master' && command.group !== undefined) {
      const { groups } = this.show;
      const found = groups.find(({ id, name }) => id === command.group || sameWords(name, command.group ?? ''));
      if (found === undefined)
        throw new InputError(`There is no group "${command.group}"; there is ${groups.map(({ name }) => name).join(', ')}`);
      return { ...command, group: found.id };
    }
    if (command.do === 'moment') {
      const { moments } = this.show.show;
      const found = moments.find(({ id, name }) => id === command.moment || sameWords(name, command.moment));
      if (found === undefined)
        throw new InputError(
          `There is no moment "${command.moment}"; there is ${moments.map(({ name }) => name).join(', ') || 'none'}`,
        );
      return { do: 'moment', moment: found.id };
    }
    if (command.do === 'try' && command.item !== undefined && !this.show.items.has(command.item as ItemKey))
      throw new InputError('This is not on the lights yet: show it in the room first');
    if (command.do === 'undo' && command.number !== this.#state.undo?.number)
      throw new InputError('Only the last press can be taken back');
    return command;
  }

  #button(text: string): string {
    const { buttons } = this.show.show;
    const found = buttons.find(({ id }) => id === text) ?? buttons.find(({ name }) => sameWords(name, text));
    if (found === undefined)
      throw new InputError(`There is no button "${text}"; there is ${buttons.map(({ name }) => name).join(', ')}`);
    return found.id;
  }

  async #writeSoon(within: Millis): Promise<void> {
    this.#later ??= setTimeout(() => void this.#write('node', null), within);
  }

  /** Writes down how the node has started. The lights came before: so the show of a file is in the store only now. */
  #keepStart(): Promise<void> {
    this.#starting ??= this.#keptStart().finally(() => {
      this.#starting = undefined;
    });
    return this.#starting;
  }

  async #keptStart(): Promise<void> {
    if (this.#start === undefined) return;
    const playing = this.#playing;
    const { draft } = this.#editing;
    const { store, clock } = this.#parts;
    const shows = playing.show.picture === undefined ? [{ show: playing.show.show, revision: playing.revision }, draft] : [];
    const [revision, edited] = await store.ask('keepStart', { ...this.#start, shows }, clock.wall());
    this.#start = undefined;
    if (revision === undefined || edited === undefined || this.#playing !== playing) return;
    this.#playing = { ...playing, revision };
    if (this.#editing.draft === draft) this.#editing.begin({ ...draft, revision: edited });
  }

  /** A disk that is full or broken costs no light: every row holds all that plays, so it is enough that a later one gets through. */
  async #write(who: string, command: Command | null): Promise<void> {
    clearTimeout(this.#later);
    this.#later = undefined;
    const { store, clock, log } = this.#parts;
    try {
      await this.#keepStart();
      const { revision } = this;
      // A show that is lost has no revision: there is nothing to go on with.
      if (revision !== 0) {
        const row = { at: clock.now(), wall: clock.wall(), revision, who, command, state: this.#state, above: this.#row };
        this.#row = await store.keepState(row);
      }
      if (this.#diskFails) log('What plays is written down again.');
      this.#diskFails = false;
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      if (!this.#diskFails)
        log(`What plays cannot be written down (${reason}). The lights play on; a restart would not know of it.`);
      this.#diskFails = true;
      void this.#writeSoon(JOURNAL_AGAIN);
    }
  }
}

const MENDED = 'Look whether anything is missing from the show; change the card after the event.';

const sameWords = (a: string, b: string): boolean => a.trim().toLowerCase() === b.trim().toLowerCase();

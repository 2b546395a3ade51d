import { InputError } from '../core/errors.ts';
import type { Clock } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';
import { changesLight } from '../playback/changes-light.ts';
import { type CompiledShow, compileShow } from '../playback/compile.ts';
import { adjustments } from '../rig/adjustments.ts';
import { typesWanted } from '../show/carry-types.ts';
import type { AskedChange, Change } from '../show/change.ts';
import { changesBetween } from '../show/compare.ts';
import type { ItemKey, Part, Show } from '../show/document.ts';
import { applyEdit } from '../show/edit.ts';
import { inWords } from '../show/edit-words.ts';
import { faultsOf } from '../show/faults.ts';
import type { Why } from '../show/history.ts';
import type { Kind } from '../show/things.ts';
import type { Editor } from '../store/edits.ts';
import type { Store } from '../store/store.ts';
import type { Clashed, EditAnswer, Edited, EditRequest, RestoreRequest, SampleRequest, StepRequest } from './edit-contract.ts';

export interface EditingParts {
  readonly store: Pick<Store, 'ask'>;
  readonly clock: Clock;
  /** What the engine plays now. */
  readonly playing: () => CompiledShow;
  /** Plays another state of the same show; a passing one is told to nobody. Resolves when it does. */
  readonly play: (show: CompiledShow, isPassing?: boolean) => Promise<void>;
  /** What was played last is in the store as this revision. */
  readonly kept: (revision: number) => void;
  /** The revision that plays. */
  readonly revision: () => number;
  /** Everybody who looks on learns of an edit. */
  readonly edited: (edit: Edited) => void;
}

/** An edit, whether it was asked for as such or follows from what was. */
interface Asked {
  readonly editId: string;
  readonly changes: readonly AskedChange[];
  readonly gesture?: string | undefined;
  readonly why: Why;
  readonly undoes: readonly number[];
  /** In words, where it is more than what its changes say. */
  readonly what?: string;
  readonly isForced: boolean;
  /** Not for the lights yet. */
  readonly here?: boolean | undefined;
}

/** A show while people edit it. */
interface Draft {
  readonly show: Show;
  readonly revision: number;
  /** Who holds it back from the lights: what played before plays on, whoever edits, until somebody releases it. */
  readonly held?: string | undefined;
}

/**
 * Small edits of the show that plays, one after the other. An accepted edit goes to the lights and to the disk side by side and is answered
 * when it is stored; should that fail, it is taken back. A draft that has faults is stored and not played: the last one without any plays on.
 */
export class Editing {
  readonly #parts: EditingParts;
  #draft: Draft;
  #last: Promise<unknown> = Promise.resolve();
  /** What people pull just now: of each the newest sample, until their edit, or until none has come for a while. */
  readonly #pulls = new Map<Editor['id'], Pull>();
  /** Whether samples wait for their turn, the newest of each. */
  #waits = false;
  /** What was played last has samples in it: what plays again without them, and whether anybody was told of what was played. */
  #passing: { readonly stored: CompiledShow; readonly isTold: boolean } | undefined;

  constructor(parts: EditingParts, draft: Draft) {
    this.#parts = parts;
    this.#draft = draft;
  }

  /** What the next edit is applied to. */
  get draft(): Draft {
    return this.#draft;
  }

  /** Another document has come as a whole: editors go on from there. */
  begin(draft: Draft): void {
    this.stop();
    this.#draft = draft;
  }

  /** @throws (rejects with) InputError for an edit that would spoil the shape of the show, or with what the disk says. */
  edit(request: EditRequest, who: Editor): Promise<EditAnswer> {
    return this.#once(request, who, () => this.#make({ ...request, why: 'edit', undoes: [], isForced: false }, who));
  }

  /**
   * Takes back what an editor has done last, or brings back what they took back last; never what another person did.
   * @throws (rejects with) InputError where there is nothing, or as an edit does.
   */
  step(request: StepRequest, who: Editor): Promise<EditAnswer> {
    return this.#once(request, who, async () => {
      const { editId, way, anyway, leave, here } = request;
      const step = (await this.#parts.store.ask('stepsOf', this.#draft.show.id, who.id))[way];
      if (step === undefined) throw new InputError(way === 'undo' ? NOTHING_TO_UNDO : NOTHING_TO_REDO);
      const how = { editId, why: way, undoes: step.undoes, isForced: anyway };
      // It counts as done, so that it does not bar the way to what was before.
      if (leave) return this.#make({ ...how, changes: [], what: `${step.what}, left as others have it` }, who);
      return this.#make({ ...how, changes: step.changes as AskedChange[], what: step.what, here }, who);
    });
  }

  /**
   * Makes the show what it was at a revision of it, as a new revision.
   * @throws (rejects with) InputError where it is none of this show, or cannot be read.
   */
  restore(request: RestoreRequest, who: Editor): Promise<EditAnswer> {
    return this.#once(request, who, async () => {
      const { editId, revision, here } = request;
      const then = await this.#parts.store.ask('openRevision', this.#draft.show.id, revision);
      const changes = changesBetween(this.#draft.show, then) as AskedChange[];
      const what = `the show as it was at revision ${revision}`;
      return this.#make({ editId, changes, why: 'edit', undoes: [], what, isForced: false, here }, who);
    });
  }

  /**
   * What was held back goes to the lights.
   * @throws (rejects with) InputError where it cannot be played yet.
   */
  release(): Promise<void> {
    return this.inTurn(async () => {
      const { held, ...draft } = this.#draft;
      if (held === undefined) return;
      const faults = faultsOf(draft.show);
      if (faults.length > 0) throw new InputError('It cannot be shown yet: something is missing', faults);
      await this.#parts.store.ask('releaseShow', draft.show.id);
      this.#draft = draft;
      this.stop();
      await this.#play(draft.show);
      this.#parts.kept(draft.revision);
    });
  }

  /**
   * Plays what a pull comes to just now, beside what others pull, and stores nothing. While one waits only the newest does; one that cannot be
   * played, is held back, or touches more than what is pulled, is left out: what plays must be there still when it is over. Where no edit follows
   * what is stored plays again.
   * @param laid to be told when what is laid over all is there to be tried, as {@link LAID_OVER}
   */
  sample(request: SampleRequest, who: Pick<Editor, 'id'>, laid?: () => void): void {
    if (this.#draft.held !== undefined) return;
    clearTimeout(this.#pulls.get(who.id)?.timer);
    const timer = setTimeout(() => void this.inTurn(() => this.#passes(who.id, timer)).catch(() => undefined), PASSES);
    // Of two who pull the same thing it follows whoever began later, and not both by turns.
    this.#pulls.set(who.id, { request, timer, laid: request.over === undefined ? undefined : laid });
    if (this.#waits) return;
    this.#waits = true;
    void this.inTurn(async () => {
      this.#waits = false;
      const draft = this.#draft;
      const [next, seen] = draft.held === undefined ? this.#withPulls(draft.show) : [draft.show, []];
      if (seen.length === 0) return;
      const stored = this.#passing?.stored ?? this.#parts.playing();
      await this.#parts.play(compileShow(next, this.#parts.playing()), true);
      this.#passing = { stored, isTold: this.#passing?.isTold ?? false };
      for (const pull of seen) {
        pull.laid?.();
        pull.laid = undefined;
      }
    }).catch(() => undefined);
  }

  /** A document with what people pull laid over it, and those pulls of which something is seen. */
  #withPulls(stored: Show): readonly [show: Show, seen: readonly Pull[]] {
    let show = stored;
    const over: Part[] = [];
    const seen = [...this.#pulls.values()].filter(({ request }) => {
      if (request.show !== undefined && request.show !== stored.id) return false;
      const next = laidOver(show, request.changes);
      if (next === undefined) return false;
      show = next;
      over.push(...(request.over ?? []));
      return true;
    });
    return [over.length === 0 ? show : withOver(show, over), seen];
  }

  /** No sample has followed, and no edit: what the others pull plays on, or what is stored plays again. */
  async #passes(who: Editor['id'], timer: NodeJS.Timeout): Promise<void> {
    if (this.#pulls.get(who)?.timer !== timer) return;
    this.#pulls.delete(who);
    const passing = this.#passing;
    if (passing === undefined) return;
    const { show, held } = this.#draft;
    const [next, seen] = held === undefined ? this.#withPulls(show) : [show, []];
    if (seen.length > 0) {
      await this.#parts.play(compileShow(next, this.#parts.playing()), true);
      return;
    }
    this.#passing = undefined;
    // Whoever was told of a state with samples in it, by the edit of somebody else, is told that they have gone.
    await this.#parts.play(passing.stored, !passing.isTold);
  }

  /** What somebody pulls has come to its edit. */
  #endPull({ id }: Editor): void {
    clearTimeout(this.#pulls.get(id)?.timer);
    this.#pulls.delete(id);
  }

  /** Nothing that is pulled is played any more. */
  stop(): void {
    for (const { timer } of this.#pulls.values()) clearTimeout(timer);
    this.#pulls.clear();
    this.#passing = undefined;
  }

  /** Whatever changes the document waits for what came before. */
  inTurn<T>(work: () => Promise<T>): Promise<T> {
    const done = this.#last.then(work);
    this.#last = done.catch(() => undefined);
    return done;
  }

  /** What is sent again, because an answer was lost, is made once; what was meant for another show, not at all. */
  #once(
    { editId, show: meant }: Pick<EditRequest, 'editId' | 'show'>,
    who: Editor,
    make: () => Promise<EditAnswer>,
  ): Promise<EditAnswer> {
    return this.inTurn(async () => {
      const { show, revision } = this.#draft;
      if (meant !== undefined && meant !== show.id)
        throw new InputError(`Another show is open meanwhile ("${show.name}"): this change was not made`);
      if (revision === 0) throw new InputError('This show is not in the store of the node: import it first');
      const made = await this.#parts.store.ask('madeAs', show.id, editId);
      if (made === undefined) return make();
      if (made.editor !== who.id) throw new InputError('Somebody else has made an edit with this id: give yours another');
      return { ok: true, revision: made.revision, faults: faultsOf(show) };
    });
  }

  async #make({ editId, changes: asked, isForced, here = false, ...how }: Asked, who: Editor): Promise<EditAnswer> {
    const { store, clock, edited } = this.#parts;
    const before = this.#draft;
    const done = applyEdit(before.show, await this.#withTypes(asked), isForced);
    if ('clashes' in done) return { ok: false, clashes: await Promise.all(done.clashes.map((clash) => this.#byWhom(clash))) };
    const { show, changes, inverse } = done;
    const faults = faultsOf(show);
    // Somebody has taken it back already: that it is taken back is still to be known.
    if (changes.length === 0 && how.undoes.length === 0) return { ok: true, revision: before.revision, faults };
    const what = how.what ?? inWords(changes, show);
    // Whoever renames a look only here changes nothing that could be seen: the show is not held back for it.
    const held = before.held ?? (here && changesLight(changes) ? who.name : undefined);
    const since = held === undefined ? undefined : this.#parts.revision();
    const kept = store.ask(
      'keepEdit',
      { ...how, show, parent: before.revision, editId, who, what, changes, inverse, held: since },
      clock.wall(),
    );
    const playable = faults.length === 0 && held === undefined;
    const lit = this.#passing?.stored ?? this.#parts.playing();
    const played = playable && show !== before.show ? this.#play(show, who) : undefined;
    const [revision] = await Promise.all([kept, played]).catch(async (error: unknown) => {
      // What was not stored is not played either, but what was before; one show at a time is on its way to the engine.
      await played;
      if (played !== undefined) await this.#play(lit.show);
      throw error;
    });
    this.#draft = { show, revision, held };
    const isHeld = held === undefined ? {} : { held };
    if (playable) this.#parts.kept(revision);
    edited({ revision, from: before.revision, who: who.name, why: how.why, what, changes: changes as Change[], faults, ...isHeld });
    return { ok: true, revision, faults, what, ...isHeld };
  }

  /** A show carries the imported types that its fixtures name: an edit that names another brings it along. */
  async #withTypes(asked: readonly AskedChange[]): Promise<readonly AskedChange[]> {
    const wanted = typesWanted(this.#draft.show, asked);
    if (wanted.length === 0) return asked;
    const types = await this.#parts.store.ask('findTypes', wanted);
    return [...types.map((now): AskedChange => ({ do: 'add', kind: 'fixtureType', id: now.id, now })), ...asked];
  }

  /** Plays a document that is stored, or is on its way there; what others pull than `by`, whose edit it is, stays on it: they see it still. */
  async #play(show: Show, by?: Editor): Promise<void> {
    if (by !== undefined) this.#endPull(by);
    const stored = compileShow(show, this.#parts.playing());
    const [next, seen] = this.#withPulls(show);
    this.#passing = seen.length === 0 ? undefined : { stored, isTold: true };
    await this.#parts.play(seen.length === 0 ? stored : compileShow(next, stored));
  }

  async #byWhom(clash: Omit<Clashed, 'by'>): Promise<Clashed> {
    const last = await this.#parts.store.ask('lastChange', this.#draft.show.id, clash.kind, clash.id, clash.field);
    return { ...clash, ...(last === undefined ? {} : { by: last }) };
  }
}

/** Samples come many times a second, and the edit that ends a pull within one. */
const PASSES: Millis = 3000;

/** What somebody pulls just now. */
interface Pull {
  readonly request: SampleRequest;
  /** It passes then. */
  readonly timer: NodeJS.Timeout;
  /** To be told once that it plays. */
  laid: (() => void) | undefined;
}

/** A document with a sample on it; undefined where it is none of a pull, or cannot be played. */
function laidOver(show: Show, changes: SampleRequest['changes']): Show | undefined {
  if (!changes.every(isPulled)) return undefined;
  try {
    const done = applyEdit(show, changes, true);
    return 'clashes' in done || faultsOf(done.show, 1).length > 0 ? undefined : done.show;
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

/** No thing of a document can have this id. */
const OVER = '~over';
/** What is laid over all while it is tried, and is a thing of no document. */
export const LAID_OVER: ItemKey = `look:${OVER}`;

/** It comes and goes softly, and never alone. */
const withOver = (show: Show, parts: Part[]): Show => ({
  ...show,
  looks: [...show.looks, { id: OVER, order: '', name: 'Steered by hand', fade: 0.5, stay: false, unattended: false, parts }],
});

/** What is pulled: how a thing looks or moves, never which things there are, what they are called or where a lamp stands. */
const pulled: Readonly<Partial<Record<Kind, readonly string[]>>> = {
  themeColour: ['value'],
  look: ['parts'],
  hit: ['parts'],
  chase: ['steps'],
  movement: ['size', 'period', 'spread', 'aim'],
  fixture: Object.keys(adjustments.shape),
};
const isPulled = (change: AskedChange): boolean => change.do === 'set' && pulled[change.kind]?.includes(change.field) === true;

const NOTHING_TO_UNDO = 'Of what you have changed there is nothing that can be taken back';
const NOTHING_TO_REDO = 'There is nothing that you have taken back and could bring back again';

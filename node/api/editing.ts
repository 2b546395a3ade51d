import { InputError } from '../core/errors.ts';
import type { Clock } from '../core/ports.ts';
import { type CompiledShow, compileShow } from '../playback/compile.ts';
import type { Change } from '../show/change.ts';
import type { Show } from '../show/document.ts';
import { applyEdit } from '../show/edit.ts';
import { inWords } from '../show/edit-words.ts';
import { faultsOf } from '../show/faults.ts';
import type { Store } from '../store/store.ts';
import type { Clashed, EditAnswer, Edited, EditRequest } from './contract.ts';

export interface EditingParts {
  readonly store: Pick<Store, 'ask'>;
  readonly clock: Clock;
  /** What the engine plays now. */
  readonly playing: () => CompiledShow;
  /** Plays another state of the same show. Resolves when it does. */
  readonly play: (show: CompiledShow) => Promise<void>;
  /** What was played last is in the store as this revision. */
  readonly kept: (revision: number) => void;
  /** Everybody who looks on learns of an edit. */
  readonly edited: (edit: Edited) => void;
}

/** A show while people edit it. */
interface Draft {
  readonly show: Show;
  readonly revision: number;
}

/**
 * Small edits of the show that plays, one after the other. An accepted edit goes to the lights and to the disk side by side and is answered
 * when it is stored; should that fail, it is taken back. A draft that has faults is stored and not played: the last one without any plays on.
 */
export class Editing {
  readonly #parts: EditingParts;
  #draft: Draft;
  #last: Promise<unknown> = Promise.resolve();

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
    this.#draft = draft;
  }

  /** @throws (rejects with) InputError for an edit that would spoil the shape of the show, or with what the disk says. */
  edit(request: EditRequest, who: string): Promise<EditAnswer> {
    return this.inTurn(() => this.#edit(request, who));
  }

  /** Whatever changes the document waits for what came before. */
  inTurn<T>(work: () => Promise<T>): Promise<T> {
    const done = this.#last.then(work);
    this.#last = done.catch(() => undefined);
    return done;
  }

  async #edit({ editId, changes: asked }: EditRequest, who: string): Promise<EditAnswer> {
    const { store, clock, edited } = this.#parts;
    const before = this.#draft;
    if (before.revision === 0) throw new InputError('This show is not in the store of the node: import it first');
    const made = await store.ask('madeAs', before.show.id, editId);
    if (made !== undefined) return { ok: true, revision: made, faults: faultsOf(before.show) };
    const done = applyEdit(before.show, asked);
    if ('clashes' in done) return { ok: false, clashes: await Promise.all(done.clashes.map((clash) => this.#byWhom(clash))) };
    const { show, changes, inverse } = done;
    const faults = faultsOf(show);
    if (changes.length === 0) return { ok: true, revision: before.revision, faults };
    const what = inWords(changes, show);
    const kept = store.ask('keepEdit', { show, parent: before.revision, editId, who, what, changes, inverse }, clock.wall());
    const playable = faults.length === 0;
    const played = playable ? this.#play(show) : undefined;
    const [revision] = await Promise.all([kept, played]).catch(async (error: unknown) => {
      // What was not stored is not played either; one show at a time is on its way to the engine.
      await played;
      if (playable && faultsOf(before.show, 1).length === 0) await this.#play(before.show);
      throw error;
    });
    this.#draft = { show, revision };
    if (playable) this.#parts.kept(revision);
    edited({ revision, from: before.revision, who, what, changes: changes as Change[] });
    return { ok: true, revision, faults };
  }

  async #play(show: Show): Promise<void> {
    await this.#parts.play(compileShow(show, this.#parts.playing()));
  }

  async #byWhom(clash: Omit<Clashed, 'by'>): Promise<Clashed> {
    const last = await this.#parts.store.ask('lastChange', this.#draft.show.id, clash.kind, clash.id, clash.field);
    return { ...clash, ...(last === undefined ? {} : { by: last }) };
  }
}

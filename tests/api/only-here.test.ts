import fc from 'fast-check';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { Editing } from '../../node/api/editing.ts';
import { type CompiledShow, compileShow } from '../../node/playback/compile.ts';
import type { Show } from '../../node/show/document.ts';
import type { Editor } from '../../node/store/edits.ts';
import { ShowTable } from '../../node/store/shows.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { storeInPlace } from '../helpers/store-in-place.ts';
import { dimmer, everybody, tinyShow } from '../helpers/tiny-show.ts';
import { open } from '../store/new-folder.ts';

/**
 * Three editors of two shows, with edits that are held back and such that are not, samples of pulls, restarts and imports in any order, beside a
 * model of it in a few lines. What plays is always what was shown last, under what people pull: until their own edit, or until it has passed; no sample is ever stored.
 */
const ids = ['hall', 'tent'] as const;
type Id = (typeof ids)[number];
const firstOf = (id: Id): Show => ({
  ...tinyShow({ tempo: 120, fixtures: [dimmer('lamp', 1)], looks: [{ id: 'dinner', parts: [{ who: everybody, level: 0.5 }] }] }),
  id,
});
const people: readonly Editor[] = ['Mia', 'Tom', 'Ada'].map((name, i) => ({ id: i + 1, name }));

/** What the model knows of a document. `level` 0: the look has no parts, and the show cannot be played. */
interface Told {
  readonly tempo: number;
  readonly level: number;
}
const toldOf = ({ tempo, looks }: Pick<Show, 'tempo' | 'looks'>): Told => ({ tempo, level: looks[0]?.parts[0]?.level ?? 0 });
const partsAt = (level: number) => (level === 0 ? [] : [{ who: everybody, level }]);

/** A node whose engine takes over at once. */
class Table {
  readonly #db = open();
  readonly #shows = new ShowTable(this.#db);
  readonly #store = storeInPlace(this.#db);
  #playing: CompiledShow = compileShow(firstOf('hall'));
  #revision = 0;
  #editing: Editing;
  #made = 0;

  constructor() {
    for (const id of [...ids].reverse()) this.#revision = this.#shows.keep(firstOf(id), 'import', 0).revision;
    this.#editing = this.#sitDown({ show: firstOf('hall'), revision: this.#revision });
  }

  get draft(): Told {
    return toldOf(this.#editing.draft.show);
  }
  get held(): string | undefined {
    return this.#editing.draft.held;
  }
  get plays(): Told {
    return toldOf(this.#playing.show);
  }
  /** Of both shows together. */
  get stored(): number {
    return ids.reduce((sum, id) => sum + this.#shows.revisions(id).length, 0);
  }

  /** @returns whether it was made */
  async edit(who: Editor, field: 'tempo' | 'level', now: number, here: boolean): Promise<boolean> {
    const { show } = this.#editing.draft;
    const change =
      field === 'tempo'
        ? ({ do: 'set', kind: 'show', id: show.id, field, was: show.tempo, now } as const)
        : ({ do: 'set', kind: 'look', id: 'dinner', field: 'parts', was: show.looks[0]?.parts, now: partsAt(now) } as const);
    const before = this.stored;
    await this.#editing.edit({ editId: this.#id(), changes: [change], here }, who);
    return this.stored > before;
  }

  /** @returns whether there was something to take back, or to bring back */
  async step(who: Editor, way: 'undo' | 'redo', here: boolean): Promise<boolean> {
    const before = this.stored;
    await this.#editing.step({ editId: this.#id(), way, anyway: false, leave: false, here }, who).catch(() => undefined);
    return this.stored > before;
  }

  async sample(who: Editor, level: number): Promise<void> {
    const was = this.#editing.draft.show.looks[0]?.parts;
    const change = { do: 'set', kind: 'look', id: 'dinner', field: 'parts', was, now: partsAt(level) } as const;
    this.#editing.sample({ changes: [change] }, who);
    await this.#editing.inTurn(async () => undefined);
  }

  /** @returns whether it could be */
  release(): Promise<boolean> {
    return this.#editing.release().then(
      () => true,
      () => false,
    );
  }

  async passes(): Promise<void> {
    await vi.advanceTimersByTimeAsync(3000);
    await this.#editing.inTurn(async () => undefined);
  }

  /** Another show is opened as the node opens it; or the node ends and starts again with this one. */
  async open(id: Id, restarts: boolean): Promise<void> {
    const { playable, draft, held } = await this.#store.ask('openedShow', id);
    this.#playing = compileShow(playable.show);
    this.#revision = playable.revision;
    const begun = { show: draft.show, revision: draft.revision, held };
    if (restarts) {
      this.#editing.stop();
      this.#editing = this.#sitDown(begun);
    } else this.#editing.begin(begun);
  }

  import(id: Id, tempo: number): string | undefined {
    const { show, revision, unheld } = this.#shows.keep({ ...firstOf(id), tempo }, 'import', 0);
    this.#playing = compileShow(show);
    this.#revision = revision;
    this.#editing.begin({ show, revision });
    return unheld;
  }

  end(): void {
    this.#editing.stop();
    this.#db.close();
  }

  #id = (): string => `edit-number-${++this.#made}`;

  #sitDown(draft: { show: Show; revision: number; held?: string | undefined }): Editing {
    return new Editing(
      {
        store: this.#store,
        clock: new FakeClock(),
        playing: () => this.#playing,
        play: async (show) => {
          this.#playing = show;
        },
        kept: (revision) => {
          this.#revision = revision;
        },
        revision: () => this.#revision,
        edited: () => undefined,
      },
      draft,
    );
  }
}

/** What must be so of one show. */
interface Standing {
  draft: Told;
  shown: Told;
  held: string | undefined;
}
const standing = (): Standing => ({ draft: { tempo: 120, level: 0.5 }, shown: { tempo: 120, level: 0.5 }, held: undefined });

/** What must be so. */
class Model {
  readonly shows: Record<Id, Standing> = { hall: standing(), tent: standing() };
  open: Id = 'hall';
  /** With samples in it. */
  passing: Told | undefined;
  /** By whom, whoever began last at the end. One of 0 cannot be played. */
  readonly pulls = new Map<Editor, number>();

  get now(): Standing {
    return this.shows[this.open];
  }
  get plays(): Told {
    return this.passing ?? this.now.shown;
  }

  made(draft: Told, who: Editor, here: boolean): void {
    const { now } = this;
    const isOther = draft.tempo !== now.draft.tempo || draft.level !== now.draft.level;
    now.draft = draft;
    // Taking back what another has taken back already changes nothing that could be held.
    now.held ??= here && isOther ? who.name : undefined;
    if (now.held !== undefined || draft.level === 0) return;
    now.shown = draft;
    if (!isOther) return;
    this.pulls.delete(who);
    this.passing = this.pulled();
  }

  sampled(who: Editor, level: number): void {
    if (this.now.held !== undefined) return;
    this.pulls.set(who, level);
    this.passing = this.pulled() ?? this.passing;
  }

  passes(): void {
    this.pulls.clear();
    this.passing = undefined;
  }

  pulled(): Told | undefined {
    const level = [...this.pulls.values()].findLast((one) => one > 0);
    return level === undefined ? undefined : { ...this.now.draft, level };
  }
}

const who = fc.constantFrom(...people);
const here = fc.boolean();
const tempo = fc.constantFrom(90, 100, 120);
const level = fc.constantFrom(0, 0.25, 0.5, 1);
const id = fc.constantFrom(...ids);
const act = fc.oneof(
  fc.record({ do: fc.constant('tempo' as const), who, here, value: tempo }),
  fc.record({ do: fc.constant('level' as const), who, here, value: level }),
  fc.record({ do: fc.constantFrom('undo' as const, 'redo' as const), who, here }),
  fc.record({ do: fc.constant('sample' as const), who, value: level }),
  fc.record({ do: fc.constantFrom('show' as const, 'pass' as const, 'restart' as const) }),
  fc.record({ do: fc.constant('open' as const), id }),
  fc.record({ do: fc.constant('import' as const), id, value: tempo }),
);
type Act = typeof act extends fc.Arbitrary<infer One> ? One : never;

async function carryOut(one: Act, table: Table, model: Model): Promise<void> {
  switch (one.do) {
    case 'tempo':
    case 'level': {
      const draft = { ...model.now.draft, [one.do]: one.value };
      if (await table.edit(one.who, one.do, one.value, one.here)) model.made(draft, one.who, one.here);
      expect(table.draft).toEqual(draft);
      return;
    }
    case 'undo':
    case 'redo':
      // What it comes to is tested with the history; here, where it goes.
      if (await table.step(one.who, one.do, one.here)) model.made(table.draft, one.who, one.here);
      return;
    case 'sample': {
      const stored = table.stored;
      await table.sample(one.who, one.value);
      model.sampled(one.who, one.value);
      expect(table.stored).toBe(stored);
      return;
    }
    case 'show': {
      const { now } = model;
      const isShown = await table.release();
      expect(isShown).toBe(now.held === undefined || now.draft.level > 0);
      if (now.held === undefined || !isShown) return;
      now.held = undefined;
      now.shown = now.draft;
      model.passes();
      return;
    }
    case 'pass':
      await table.passes();
      model.passes();
      return;
    case 'restart':
    case 'open':
      if (one.do === 'open') {
        // The one that is open is not opened again.
        if (one.id === model.open) return;
        model.open = one.id;
      }
      await table.open(model.open, one.do === 'restart');
      model.passes();
      return;
    case 'import': {
      const whole = { tempo: one.value, level: 0.5 };
      const of = model.shows[one.id];
      const isSame = of.draft.tempo === whole.tempo && of.draft.level === whole.level;
      // What was held back is told of, unless it is what comes.
      expect(table.import(one.id, one.value)).toBe(isSame ? undefined : of.held);
      model.shows[one.id] = { draft: whole, shown: whole, held: undefined };
      model.open = one.id;
      model.passes();
      return;
    }
  }
}

beforeEach(() => void vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] }));
afterEach(() => void vi.useRealTimers());

it('what plays is what was shown last, whoever edits, holds back, pulls, opens and restarts', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(act, { minLength: 1, maxLength: 40 }), async (acts) => {
      const table = new Table();
      const model = new Model();
      try {
        for (const one of acts) {
          await carryOut(one, table, model);
          expect({ plays: table.plays, draft: table.draft, held: table.held }).toEqual({
            plays: model.plays,
            draft: model.now.draft,
            held: model.now.held,
          });
        }
      } finally {
        table.end();
      }
    }),
    { numRuns: 60 },
  );
});

import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import type { EditAnswer, Edited } from '../../node/api/edit-contract.ts';
import { Editing } from '../../node/api/editing.ts';
import { compileShow } from '../../node/playback/compile.ts';
import type { AskedChange } from '../../node/show/change.ts';
import type { Show } from '../../node/show/document.ts';
import { listOf } from '../../node/show/things.ts';
import type { Db } from '../../node/store/database.ts';
import type { Editor } from '../../node/store/edits.ts';
import { ShowTable } from '../../node/store/shows.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { storeInPlace } from '../helpers/store-in-place.ts';
import { dimmer, everybody, tinyShow } from '../helpers/tiny-show.ts';
import { open } from '../store/new-folder.ts';

const first = tinyShow({
  fixtures: [dimmer('lamp', 1)],
  looks: [
    { id: 'dinner', parts: [{ who: everybody, level: 0.5 }] },
    { id: 'dance', parts: [{ who: everybody, level: 1 }] },
  ],
});
const [mia, tom, ada]: Editor[] = ['Mia', 'Tom', 'Ada'].map((name, i) => ({ id: i + 1, name }));
const people = [mia, tom, ada] as Editor[];

/** Editors of one show on a node whose engine takes over at once. */
class Table {
  readonly db: Db = open();
  readonly #store = storeInPlace(this.db);
  readonly told: Edited[] = [];
  #playing = compileShow(first);
  #editing: Editing;
  #made = 0;

  constructor() {
    const { revision } = new ShowTable(this.db).keep(first, 'import', 0);
    this.#editing = this.#sitDown({ show: first, revision });
  }

  get show(): Show {
    return this.#editing.draft.show;
  }

  get plays(): Show {
    return this.#playing.show;
  }

  get revision(): number {
    return this.#editing.draft.revision;
  }

  /** The node ends and starts again. */
  restart(): void {
    const kept = new ShowTable(this.db).open('tiny');
    if (kept === undefined) throw new Error('the show is lost');
    this.#editing = this.#sitDown(kept);
  }

  edit(who: Editor | undefined, changes: readonly AskedChange[], gesture?: string): Promise<EditAnswer> {
    const how = gesture === undefined ? {} : { gesture };
    return this.#editing.edit({ editId: this.#id(), changes: [...changes], ...how }, who as Editor);
  }

  step(
    who: Editor | undefined,
    way: 'undo' | 'redo',
    more: { anyway?: boolean; leave?: boolean; editId?: string } = {},
  ): Promise<EditAnswer> {
    return this.#editing.step({ editId: this.#id(), way, anyway: false, leave: false, ...more }, who as Editor);
  }

  restore(revision: number): Promise<EditAnswer> {
    return this.#editing.restore({ editId: this.#id(), revision }, mia as Editor);
  }

  import(show: Show): void {
    this.#editing.begin(new ShowTable(this.db).keep(show, 'import', 0));
  }

  history() {
    return new ShowTable(this.db).edits.history('tiny', Number.MAX_SAFE_INTEGER, 100);
  }

  /** Changes a field from whatever it is. */
  set(
    who: Editor | undefined,
    kind: 'look' | 'show',
    id: string,
    field: string,
    now: unknown,
    gesture?: string,
  ): Promise<EditAnswer> {
    const thing = kind === 'show' ? this.show : listOf(this.show, kind).find((one) => one.id === id);
    return this.edit(
      who,
      [{ do: 'set', kind, id, field, was: (thing as Record<string, unknown> | undefined)?.[field], now }],
      gesture,
    );
  }

  #id(): string {
    return `edit-number-${++this.#made}`;
  }

  #sitDown(draft: { show: Show; revision: number }): Editing {
    return new Editing(
      {
        store: this.#store,
        clock: new FakeClock(),
        playing: () => this.#playing,
        play: async (show) => {
          this.#playing = show;
        },
        kept: () => undefined,
        revision: () => 1,
        edited: (one) => this.told.push(one),
      },
      draft,
    );
  }
}

let table: Table;
beforeEach(() => {
  table = new Table();
});
const nameOf = (id: string): string | undefined => table.show.looks.find((one) => one.id === id)?.name;

describe('what somebody has changed', () => {
  it('is taken back by them alone, the newest first, and nothing that another has done', async () => {
    await table.set(mia, 'show', 'tiny', 'tempo', 90);
    await table.set(tom, 'look', 'dinner', 'name', 'Supper');
    await table.set(mia, 'look', 'dance', 'name', 'Floor');
    expect(await table.step(mia, 'undo')).toMatchObject({ ok: true, what: 'name of Floor' });
    expect([nameOf('dance'), nameOf('dinner'), table.show.tempo]).toEqual(['dance', 'Supper', 90]);
    await table.step(mia, 'undo');
    expect([nameOf('dinner'), table.show.tempo]).toEqual(['Supper', 120]);
    await expect(table.step(mia, 'undo')).rejects.toThrow('nothing that can be taken back');
    await table.step(tom, 'undo');
    expect(table.show).toEqual(first);
    expect(table.plays).toEqual(first);
  });

  it('is brought back again in the order in which it was taken back, until they change something else', async () => {
    for (const tempo of [90, 91, 92]) await table.set(mia, 'show', 'tiny', 'tempo', tempo);
    await table.step(mia, 'undo');
    await table.step(mia, 'undo');
    await table.step(mia, 'redo');
    // What another changes leaves it.
    await table.set(tom, 'look', 'dinner', 'name', 'Supper');
    await table.step(mia, 'redo');
    expect(table.show.tempo).toBe(92);
    await expect(table.step(mia, 'redo')).rejects.toThrow('could bring back');
    await table.step(mia, 'undo');
    await table.set(mia, 'look', 'dance', 'name', 'Floor');
    await expect(table.step(mia, 'redo')).rejects.toThrow('could bring back');
    expect([table.show.tempo, nameOf('dance')]).toEqual([91, 'Floor']);
  });

  it('in one pull is one step, but for what another has put in between on the same field', async () => {
    await table.set(mia, 'show', 'tiny', 'tempo', 90);
    for (const tempo of [91, 92, 93]) await table.set(mia, 'show', 'tiny', 'tempo', tempo, 'a pull');
    await table.set(tom, 'look', 'dinner', 'name', 'Supper');
    await table.set(mia, 'show', 'tiny', 'tempo', 94, 'a pull');
    await table.step(mia, 'undo');
    expect(table.show.tempo).toBe(90);
    await table.step(mia, 'redo');
    expect(table.show.tempo).toBe(94);
    await table.set(mia, 'show', 'tiny', 'tempo', 100, 'another');
    await table.set(tom, 'show', 'tiny', 'tempo', 101);
    await table.set(mia, 'show', 'tiny', 'tempo', 102, 'another');
    await table.step(mia, 'undo');
    expect(table.show.tempo).toBe(101);
  });

  it('that another has changed since is not taken back, and it is told who has; it is where that is wanted all the same', async () => {
    await table.set(mia, 'show', 'tiny', 'tempo', 90);
    const { revision } = (await table.set(tom, 'show', 'tiny', 'tempo', 100)) as { revision: number };
    expect(await table.step(mia, 'undo')).toEqual({
      ok: false,
      clashes: [{ kind: 'show', id: 'tiny', field: 'tempo', was: 90, found: 100, by: { revision, who: 'Tom' } }],
    });
    expect(table.show.tempo).toBe(100);
    expect(await table.step(mia, 'undo', { anyway: true })).toMatchObject({ ok: true });
    expect(table.show.tempo).toBe(120);
  });

  it('that another has changed since is left to them where that is wanted, and does not bar the way to what was before', async () => {
    await table.set(mia, 'look', 'dance', 'name', 'Floor');
    await table.set(mia, 'show', 'tiny', 'tempo', 90);
    await table.set(tom, 'show', 'tiny', 'tempo', 100);
    expect(await table.step(mia, 'undo')).toMatchObject({ ok: false });
    expect(await table.step(mia, 'undo', { leave: true })).toMatchObject({
      ok: true,
      what: 'tempo of the show, left as others have it',
    });
    expect([table.show.tempo, nameOf('dance')]).toEqual([100, 'Floor']);
    await table.step(mia, 'undo');
    expect([table.show.tempo, nameOf('dance')]).toEqual([100, 'dance']);
    await table.step(mia, 'redo');
    expect(nameOf('dance')).toBe('Floor');
  });

  it('in one pull is one step still when another has changed the same field after it, and has taken that back', async () => {
    for (const tempo of [91, 92]) await table.set(mia, 'show', 'tiny', 'tempo', tempo, 'a pull');
    await table.set(tom, 'show', 'tiny', 'tempo', 100);
    await table.step(tom, 'undo');
    await table.step(mia, 'undo');
    expect(table.show).toEqual(first);
  });

  it('that another has taken back already does not bar the way to what was before', async () => {
    await table.set(mia, 'look', 'dance', 'name', 'Floor');
    await table.set(mia, 'show', 'tiny', 'tempo', 90);
    await table.set(tom, 'show', 'tiny', 'tempo', 120);
    await table.step(mia, 'undo');
    await table.step(mia, 'undo');
    expect(table.show).toEqual(first);
  });

  it('can be taken back and brought back after a restart, but not across a document that came as a whole', async () => {
    await table.set(mia, 'show', 'tiny', 'tempo', 90);
    table.restart();
    await table.step(mia, 'undo');
    table.restart();
    await table.step(mia, 'redo');
    expect(table.show.tempo).toBe(90);
    table.import({ ...table.show, tempo: 77 });
    await expect(table.step(mia, 'undo')).rejects.toThrow('nothing that can be taken back');
    expect(table.show.tempo).toBe(77);
  });

  it('is taken back once, though it is asked for twice because an answer was lost', async () => {
    for (const tempo of [90, 91]) await table.set(mia, 'show', 'tiny', 'tempo', tempo);
    const once = await table.step(mia, 'undo', { editId: 'the same one' });
    expect(await table.step(mia, 'undo', { editId: 'the same one' })).toMatchObject({
      revision: (once as { revision: number }).revision,
    });
    expect(table.show.tempo).toBe(90);
  });

  it('in one stretch of typing is one line of the history, the last, unless another came between', async () => {
    for (const name of ['F', 'Fl', 'Floor']) await table.set(mia, 'look', 'dance', 'name', name, 'typing');
    await table.set(tom, 'look', 'dinner', 'name', 'Supper');
    await table.set(mia, 'look', 'dance', 'name', 'Floors', 'typing');
    expect(table.history().map(({ who, what }) => `${who}: ${what}`)).toEqual([
      'Mia: name of Floors',
      'Tom: name of Supper',
      'Mia: name of Floor',
      'import: ',
    ]);
  });

  it('is in the history with who and what, and any revision comes back as a new one, which can be taken back too', async () => {
    const start = table.revision;
    await table.set(mia, 'show', 'tiny', 'tempo', 90);
    await table.set(tom, 'look', 'dinner', 'name', 'Supper');
    await table.step(mia, 'undo');
    expect(table.history().map(({ who, what, why }) => [who, what, why])).toEqual([
      ['Mia', 'tempo of the show', 'undo'],
      ['Tom', 'name of Supper', 'edit'],
      ['Mia', 'tempo of the show', 'edit'],
      ['import', '', 'edit'],
    ]);
    expect(await table.restore(start + 1)).toMatchObject({ ok: true, what: `the show as it was at revision ${start + 1}` });
    expect([table.show.tempo, nameOf('dinner')]).toEqual([90, 'dinner']);
    await table.step(mia, 'undo');
    expect([table.show.tempo, nameOf('dinner')]).toEqual([120, 'Supper']);
    await expect(table.restore(99)).rejects.toThrow('none of this show');
  });
});

/** Something that one of three people does, or that happens to the node. */
const deed = fc.oneof(
  fc.record({
    do: fc.constant('set' as const),
    who: fc.nat(2),
    look: fc.nat(3),
    field: fc.constantFrom('name', 'fade'),
    to: fc.nat(3),
    pull: fc.boolean(),
  }),
  fc.record({ do: fc.constant('tempo' as const), who: fc.nat(2), to: fc.integer({ min: 60, max: 64 }) }),
  fc.record({ do: fc.constantFrom('add' as const, 'drop' as const), who: fc.nat(2), look: fc.nat(3) }),
  fc.record({ do: fc.constantFrom('undo' as const, 'redo' as const), who: fc.nat(2), anyway: fc.boolean(), leave: fc.boolean() }),
  fc.constant({ do: 'restart' as const }),
);
type Deed = typeof deed extends fc.Arbitrary<infer One> ? One : never;

async function carryOut(at: Table, one: Deed): Promise<void> {
  const id = 'look' in one ? `look-${one.look}` : '';
  const stands = at.show.looks.find((look) => look.id === id);
  switch (one.do) {
    case 'set':
      if (stands !== undefined)
        await at.set(
          people[one.who],
          'look',
          id,
          one.field,
          one.field === 'name' ? `Name ${one.to}` : one.to,
          one.pull ? 'a pull' : undefined,
        );
      break;
    case 'tempo':
      await at.set(people[one.who], 'show', 'tiny', 'tempo', one.to);
      break;
    case 'add':
      if (stands === undefined) await at.edit(people[one.who], [{ do: 'add', kind: 'look', id, now: { id, name: id, parts: [] } }]);
      break;
    case 'drop':
      if (stands !== undefined) await at.edit(people[one.who], [{ do: 'drop', kind: 'look', id, was: stands }]);
      break;
    case 'undo':
    case 'redo':
      await at.step(people[one.who], one.do, { anyway: one.anyway, leave: one.leave }).catch((error: Error) => {
        if (!/nothing/.test(error.message)) throw error;
      });
      break;
    case 'restart':
      at.restart();
  }
}

describe('whatever three people do', () => {
  it('leaves a draft that the store tells again, and that everybody who heard of the edits has too', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(deed, { maxLength: 30 }), async (deeds) => {
        const at = new Table();
        for (const one of deeds) await carryOut(at, one);
        expect(new ShowTable(at.db).open('tiny')).toEqual({ revision: at.revision, show: at.show });
        for (const [i, told] of at.told.entries()) expect(told.from).toBe(at.told[i - 1]?.revision ?? 1);
      }),
      { numRuns: 60 },
    );
  });

  it('is undone altogether when everybody takes back what they did, newest first: the first document is there again', async () => {
    const edits = deed.filter((one) => !['undo', 'redo', 'restart'].includes(one.do));
    await fc.assert(
      fc.asyncProperty(fc.array(edits, { maxLength: 20 }), async (deeds) => {
        const at = new Table();
        for (const one of deeds) await carryOut(at, { ...one, pull: false } as Deed);
        for (const { why, who } of at.history()) {
          if (why !== 'edit' || who === 'import') continue;
          expect(
            await at.step(
              people.find(({ name }) => name === who),
              'undo',
            ),
          ).toMatchObject({ ok: true });
        }
        expect(at.show).toEqual(first);
      }),
      { numRuns: 60 },
    );
  });
});

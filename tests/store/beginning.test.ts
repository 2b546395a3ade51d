import { copyFileSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState } from '../../node/playback/reduce.ts';
import { type PlayState, steady } from '../../node/playback/state.ts';
import type { Show } from '../../node/show/document.ts';
import { applyEdit } from '../../node/show/edit.ts';
import { type Beginning, beginningOf } from '../../node/store/beginning.ts';
import { keepCopy } from '../../node/store/copies.ts';
import { type Db, databaseIn, openDatabase } from '../../node/store/database.ts';
import { firstOf } from '../../node/store/first.ts';
import { JournalTable } from '../../node/store/journal.ts';
import { keepLastShow, keepPicture, type Witness } from '../../node/store/last-picture.ts';
import { keepStart, noteFirstFile } from '../../node/store/show-files.ts';
import { ShowTable } from '../../node/store/shows.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { dimmer, everybody, tinyShow } from '../helpers/tiny-show.ts';
import { newFolder } from './new-folder.ts';

const demo = new URL('../../shows/barn-wedding.json', import.meta.url);
const AT = Date.UTC(2030, 5, 15);
const small = (id: string, tempo: number): Show => ({ ...tinyShow({ tempo }), id, name: id });
/** With a lamp, so that another can be put on its slot. */
const lit = (id: string, tempo: number): Show => ({
  ...tinyShow({ tempo, fixtures: [dimmer('lamp', 1)], looks: [{ id: 'low', parts: [{ who: everybody, level: 0.2 }] }] }),
  id,
  name: id,
});
const tempoOf = ({ show }: Beginning) => show?.show.tempo;

/** A folder in which nodes start, one after the other, as if each were killed once it has written down how it began. */
class Box {
  readonly folder = newFolder();

  file(name: string, show: Show): string {
    const path = join(this.folder, name);
    writeFileSync(path, JSON.stringify(show));
    return path;
  }

  start(file?: string): Beginning {
    const begin = beginningOf(this.folder, file, demo);
    this.inStore((db) => {
      const { show, cid } = begin;
      const given = begin.file === undefined ? {} : { file: begin.file };
      const [revision] = keepStart(db, { cid, ...given, ...(show !== undefined && { shows: [show] }) }, AT);
      if (show !== undefined && revision !== undefined) this.#plays(db, revision, show.show);
    });
    return begin;
  }

  /** A show comes over the network and plays. */
  import(show: Show): number {
    return this.inStore((db) => {
      const { revision } = new ShowTable(db).keep(show, 'import', AT);
      this.#plays(db, revision, show);
      return revision;
    });
  }

  /** Edits after which a show cannot be played: a second lamp on the slot of the first, then `more` besides. @returns the last revision */
  spoil(played: number, more = 0): number {
    return this.inStore((db) => {
      const shows = new ShowTable(db);
      let { show, revision } = shows.read(played);
      const { id, tempo } = show;
      const lamp = { ...show.fixtures[0], id: 'second', order: undefined };
      const edits = [
        { do: 'add', kind: 'fixture', id: 'second', now: JSON.parse(JSON.stringify(lamp)) },
        ...Array.from({ length: more }, (_, i) => ({
          do: 'set',
          kind: 'show',
          id,
          field: 'tempo',
          was: tempo + i,
          now: tempo + i + 1,
        })),
      ] as Parameters<typeof applyEdit>[1];
      for (const [i, change] of edits.entries()) {
        const done = applyEdit(show, [change]);
        if ('clashes' in done) throw new Error(JSON.stringify(done.clashes));
        const { changes, inverse } = done;
        const edit = {
          show: done.show,
          parent: revision,
          editId: `edit-${i}`,
          who: { id: 1, name: 'Mia' },
          why: 'edit' as const,
          undoes: [],
          what: 'a lamp',
          changes,
          inverse,
        };
        revision = shows.edits.keep(edit, AT);
        show = done.show;
      }
      return revision;
    });
  }

  inStore<T>(use: (db: Db) => T): T {
    const db = openDatabase(this.folder);
    try {
      return use(db);
    } finally {
      db.close();
    }
  }

  #plays(db: Db, revision: number, show: Show): void {
    const { state } = firstOf({ ...NOTHING, show: { revision, show } }, true, new FakeClock());
    new JournalTable(db).write({ at: 0, wall: AT, revision, who: 'a test', command: null, state });
  }
}
const NOTHING = beginningOf(join('/nowhere', 'at', 'all'), undefined, demo);

describe('a node that is new', () => {
  it('plays the demo, and goes on with it', () => {
    const box = new Box();
    expect(box.start()).toMatchObject({ show: { revision: 0, show: { id: 'barn-wedding' } }, file: { origin: 'demo' }, said: [] });
    expect(box.start()).toMatchObject({ show: { revision: 1, show: { id: 'barn-wedding' } }, said: [] });
  });

  it('is refused a show file that cannot be played: there is nothing else to play', () => {
    const box = new Box();
    const file = box.file('bad.json', { ...small('a', 90), tempo: 3000 });
    expect(() => box.start(file)).toThrow('The show has mistakes');
    expect(() => box.start(join(box.folder, 'gone.json'))).toThrow('cannot be read');
  });

  it('writes nothing until the lights are on', () => {
    const folder = join(newFolder(), 'data');
    expect(beginningOf(folder, undefined, demo).show?.show.id).toBe('barn-wedding');
    expect(existsSync(folder)).toBe(false);
  });
});

describe('a show file that a node is started with', () => {
  it('is kept when it is new, and not again over what was changed since', () => {
    const box = new Box();
    const file = box.file('a.json', small('a', 90));
    expect(box.start(file).show).toMatchObject({ revision: 0, show: { tempo: 90 } });
    const revision = box.import(small('a', 95));
    expect(box.start(file).show).toMatchObject({ revision, show: { tempo: 95 } });
    box.file('a.json', small('a', 100));
    expect(box.start(file).show).toMatchObject({ revision: 0, show: { tempo: 100 } });
  });

  it('does not come back over another show that was imported since: a crash changes nothing', () => {
    const box = new Box();
    const file = box.file('a.json', small('a', 90));
    box.start(file);
    box.import(small('b', 70));
    expect(box.start(file).show?.show.id).toBe('b');
    expect(box.start(file).show?.show.id).toBe('b');
  });

  it('is taken up where it was left, when the node was started with another in between', () => {
    const box = new Box();
    const a = box.file('a.json', small('a', 90));
    const b = box.file('b.json', small('b', 70));
    box.start(a);
    box.import(small('a', 95));
    expect(tempoOf(box.start(b))).toBe(70);
    expect(tempoOf(box.start(a))).toBe(95);
    box.start();
    expect(tempoOf(box.start(b))).toBe(70);
  });

  it('that cannot be read is said, and what played last plays', () => {
    const box = new Box();
    box.import(small('a', 90));
    const begin = box.start(join(box.folder, 'gone.json'));
    expect(tempoOf(begin)).toBe(90);
    expect(begin.said).toEqual([
      expect.stringMatching(/gone\.json cannot be read: there is no such file.*What played last plays instead/),
    ]);
  });

  it('plays also where the store was never written, as on a disk that refuses', () => {
    const box = new Box();
    const file = box.file('a.json', small('a', 90));
    for (let start = 0; start < 2; start++)
      expect(beginningOf(box.folder, file, demo)).toMatchObject({ show: { revision: 0, show: { tempo: 90 } }, said: [] });
  });
});

/** The picture of a rig that is blacked out. @returns where it was sent */
function leaveDarkPicture(folder: string) {
  const outputs = [{ id: 's', protocol: 'sacn' as const, to: ['127.0.0.1:15699'] }];
  const universes = [{ universe: 1, slots: Buffer.alloc(512, 9).toString('base64') }];
  writeFileSync(join(folder, 'last-picture.json'), JSON.stringify({ version: 2, outputs, blackout: true, universes }));
  return outputs;
}

/** A node that wrote down at once what was on, in the store and beside it, and of whose store the end was lost later without a sign. */
describe('the end of a store that is lost without a sign', () => {
  /** What is on: the one look, dark, under a master of a fifth. */
  const dark = (show: Show, number: number): PlayState => ({
    ...freshState(compileShow(show), 0),
    number,
    blackout: true,
    all: steady(0.2, 0),
  });

  function witnessed(box: Box, show: Show, more: Partial<Witness> = {}, startedWith = ''): void {
    const { number, revision } = box.inStore((db) => new JournalTable(db).last()) ?? { number: 0, revision: 1 };
    const state = dark(show, 7);
    keepPicture(box.folder, {
      version: 2,
      outputs: [],
      blackout: true,
      universes: [{ universe: 1, slots: Buffer.alloc(512, 9).toString('base64') }],
      witness: { show: { id: show.id, name: show.name, revision }, row: number, at: 0, wall: AT, state, startedWith, ...more },
    });
  }
  const first = (begin: Beginning) => firstOf(begin, false, new FakeClock());
  const DARK = { blackout: true, all: { to: 0.2 } };

  it('is nothing where nothing is lost: the store is believed, and nothing is said', () => {
    const box = new Box();
    box.import(lit('a', 90));
    witnessed(box, lit('a', 90), { state: dark(lit('a', 90), 0) });
    const begin = box.start();
    expect(begin).toMatchObject({ lost: [], said: [] });
    expect(first(begin).state.blackout).toBe(false);
  });

  it('brings no light back, also where the show is there, and is said', () => {
    const box = new Box();
    box.import(lit('a', 90));
    witnessed(box, lit('a', 90), { row: 5 });
    const begin = box.start();
    expect(begin.lost).toMatchObject([
      { happened: 'The end of what was written down is lost.', guestsSee: 'What was on of "a" goes on.' },
    ]);
    expect(first(begin)).toMatchObject({ state: DARK, show: { id: 'a' }, row: 5 });
    // Unless it is to start afresh: then that is said.
    const fresh = beginningOf(box.folder, undefined, demo, true);
    expect(fresh.lost).toMatchObject([{ guestsSee: '"a" starts afresh.' }]);
    expect(firstOf(fresh, true, new FakeClock()).state).toMatchObject({ blackout: false, all: { to: 1 } });
  });

  it('is not told by a witness that a card has spoiled since: the store is believed', () => {
    const box = new Box();
    box.import(lit('a', 90));
    witnessed(box, lit('a', 90), { row: 1, state: dark(lit('a', 90), 0) });
    for (const name of readdirSync(box.folder).filter((one) => one.startsWith('last-picture'))) {
      const text = readFileSync(join(box.folder, name), 'utf8');
      expect(text).toContain('"row":1,');
      writeFileSync(join(box.folder, name), text.replace('"row":1,', '"row":9,'));
    }
    const begin = box.start();
    expect(begin).toMatchObject({ lost: [], said: [] });
    expect(first(begin).state.blackout).toBe(false);
  });

  it.each([
    ['cut short', (text: string) => text.slice(0, text.length / 2)],
    ['spoiled in a digit', (text: string) => text.replace('"row":3,', '"row":7,')],
    ['gone', undefined],
  ])('brings no light back where the witness is %s too', (_what, spoil) => {
    const box = new Box();
    box.start(box.file('mine.json', lit('mine', 90)));
    copyFileSync(databaseIn(box.folder), join(box.folder, 'duskhand.copy-1.sqlite'));
    witnessed(box, lit('mine', 90), { row: 3 });
    for (const name of readdirSync(box.folder)) if (name.startsWith('duskhand.sqlite')) rmSync(join(box.folder, name));
    const file = join(box.folder, 'last-picture.json');
    if (spoil === undefined) rmSync(file);
    else writeFileSync(file, spoil(readFileSync(file, 'utf8')));
    const begin = beginningOf(box.folder, undefined, demo);
    expect(first(begin)).toMatchObject({ show: { id: 'mine' }, state: DARK, row: 3 });
  });

  it('that was only on its way when the node ended is taken from the witness, and nothing is said', () => {
    const box = new Box();
    box.import(lit('a', 90));
    witnessed(box, lit('a', 90));
    const begin = box.start();
    expect(begin.lost).toEqual([]);
    expect(first(begin)).toMatchObject({ state: DARK });
  });

  it('plays an older revision of the show with what was on of it, and says so', () => {
    const box = new Box();
    box.import(lit('a', 90));
    witnessed(box, lit('a', 90), { show: { id: 'a', name: 'a', revision: 4 } });
    const begin = box.start();
    expect(begin).toMatchObject({ show: { revision: 1 }, lost: [{ guestsSee: expect.stringContaining('an older revision') }] });
    expect(first(begin)).toMatchObject({ state: DARK });
  });

  it.each([
    ['nothing that is asked for', undefined, false],
    ['the show file of every start', 'other.json', true],
  ])(
    'plays no other show in the place of one that is lost with it, with %s: the picture, as dark as it was',
    (_what, name, hasFile) => {
      const box = new Box();
      const file = name === undefined ? undefined : box.file(name, lit('other', 70));
      const { file: read } = box.start(file);
      witnessed(box, lit('mine', 90), { show: { id: 'mine', name: 'Mine', revision: 2 } }, hasFile ? read?.key : '');
      for (let start = 0; start < 2; start++) {
        const begin = beginningOf(box.folder, file, demo);
        expect(begin.show).toBeUndefined();
        expect(begin.lost).toMatchObject([
          { happened: '"Mine", which played last, cannot be read any more.', guestsSee: expect.stringContaining('blacked out') },
        ]);
        expect(first(begin)).toMatchObject({ state: { blackout: true }, show: { picture: [{ universe: 1 }] } });
      }
      // Another file is asked for by whoever starts the node with it; it is as dark as it was.
      const other = beginningOf(box.folder, box.file('asked.json', lit('asked', 60)), demo);
      expect(other).toMatchObject({ show: { show: { id: 'asked' } }, lost: [] });
      expect(first(other)).toMatchObject({ state: DARK });
    },
  );

  it.each([
    ['no show file', undefined],
    ['the show file of every start', 'other.json'],
  ])('plays no other show where what was on can be read and its show cannot, with %s', (_what, name) => {
    const box = new Box();
    const file = name === undefined ? undefined : box.file(name, lit('other', 70));
    box.start(box.file('other.json', lit('other', 70)));
    box.import(lit('mine', 90));
    witnessed(box, lit('mine', 90), { state: dark(lit('mine', 90), 0) }, '');
    box.inStore((db) => db.prepare("UPDATE revision SET document = 'spoiled' WHERE show_id = 'mine'").run());
    const begin = beginningOf(box.folder, file, demo);
    expect(begin.show).toBeUndefined();
    expect(begin.lost).toMatchObject([{ happened: '"mine", which played last, cannot be read any more.' }]);
    expect(first(begin)).toMatchObject({ state: { blackout: true }, show: { picture: [{ universe: 1 }] } });
  });

  it('plays the show as it was where that was kept beside the witness, though the store has an older revision or none', () => {
    const box = new Box();
    box.import(lit('a', 90));
    const show = { ...lit('a', 95), name: 'As it was' };
    witnessed(box, show, { show: { id: 'a', name: 'As it was', revision: 4 } });
    keepLastShow(box.folder, { revision: 4, show });
    const begin = box.start();
    expect(begin).toMatchObject({
      show: { revision: 0, show: { name: 'As it was' } },
      lost: [{ guestsSee: 'What was on of "As it was" goes on.' }],
    });
    expect(begin.draft).toBeUndefined();
    expect(first(begin)).toMatchObject({ state: DARK });
    // From then on it is in the store.
    expect(box.inStore((db) => new ShowTable(db).open('a'))).toMatchObject({ revision: 2, show: { name: 'As it was' } });
  });

  it('plays no show beside the witness that is of another revision, or was spoiled', () => {
    const box = new Box();
    box.import(lit('a', 90));
    witnessed(box, lit('a', 90), { show: { id: 'a', name: 'a', revision: 4 } });
    keepLastShow(box.folder, { revision: 3, show: lit('a', 99) });
    expect(beginningOf(box.folder, undefined, demo).show?.revision).toBe(1);
    keepLastShow(box.folder, { revision: 4, show: lit('a', 99) });
    const file = join(box.folder, 'last-show.json');
    writeFileSync(file, readFileSync(file, 'utf8').replace('"tempo":99', '"tempo":98'));
    expect(beginningOf(box.folder, undefined, demo).show?.revision).toBe(1);
  });

  it('with a store that is lost altogether plays the show file that it is of', () => {
    const box = new Box();
    const file = box.file('mine.json', lit('mine', 90));
    witnessed(box, lit('mine', 90), { row: 3 }, 'show-file of then');
    const { folder } = box;
    for (const name of readdirSync(folder)) if (name.startsWith('duskhand.sqlite')) rmSync(join(folder, name));
    const begin = beginningOf(folder, file, demo);
    expect(begin).toMatchObject({ show: { revision: 0, show: { id: 'mine' } } });
    expect(first(begin)).toMatchObject({ state: DARK });
  });
});

describe('what a person has set', () => {
  it('outlives a show file that is changed, and one of another show, unless the node is to start afresh', () => {
    const box = new Box();
    box.start(box.file('a.json', lit('a', 90)));
    box.inStore((db) => {
      const { revision } = new ShowTable(db).open('a') ?? { revision: 0 };
      const state = { ...freshState(compileShow(lit('a', 90)), 0), blackout: true, all: steady(0.2, 0) };
      new JournalTable(db).write({ at: 0, wall: AT, revision, who: 'a test', command: null, state });
    });
    for (const show of [lit('a', 100), lit('b', 80)]) {
      const begin = beginningOf(box.folder, box.file('a.json', show), demo);
      expect(begin.show?.show).toMatchObject({ id: show.id, tempo: show.tempo });
      expect(begin.said).toEqual([expect.stringContaining('It is blacked out, as before')]);
      expect(firstOf(begin, false, new FakeClock()).state).toMatchObject({ blackout: true, all: { to: 0.2 } });
      expect(firstOf(begin, true, new FakeClock()).state).toMatchObject({ blackout: false, all: { to: 1 } });
    }
  });
});

describe('a demo that came anew with another version of this program', () => {
  it('does not play in the place of a show that was imported since', () => {
    const box = new Box();
    const file = box.file('demo.json', { ...lit('demo', 90), demo: true });
    box.start(file);
    box.import(lit('mine', 80));
    box.file('demo.json', { ...lit('demo', 100), demo: true });
    expect(box.start(file)).toMatchObject({ show: { show: { id: 'mine' } }, said: [] });
    // Another demo that is asked for plays.
    expect(box.start(box.file('second.json', { ...lit('second', 70), demo: true }))).toMatchObject({
      show: { show: { id: 'second' } },
    });
  });
});

describe('a trace of a former life keeps the demo away', () => {
  it.each([
    ['a picture that cannot be read', 'last-picture.json', 'Not a picture'],
    ['a picture that was on its way', 'last-picture.json.coming', '{"version":2,'],
  ])('%s', (_what, name, text) => {
    const folder = newFolder();
    writeFileSync(join(folder, name), text);
    const begin = beginningOf(folder, undefined, demo);
    expect(begin).toMatchObject({
      lost: [{ happened: 'No show can be read any more.', guestsSee: expect.stringMatching(/Nothing/) }],
    });
    expect(begin.show).toBeUndefined();
  });

  it('a picture, also where the node is started with a demo, as the README does: until there is a show of its own again', () => {
    const box = new Box();
    const outputs = leaveDarkPicture(box.folder);
    const demoFile = fileURLToPath(demo);
    for (let start = 0; start < 2; start++) {
      const begin = box.start(demoFile);
      expect(begin.show).toBeUndefined();
      expect(begin.said.join()).toMatch(/"Barn wedding" does not play in the place of a show that was lost/);
      expect(firstOf(begin, false, new FakeClock())).toMatchObject({ state: { blackout: true }, outputs });
    }
    box.import(small('mine', 80));
    expect(box.start(demoFile)).toMatchObject({ show: { show: { id: 'mine' } }, lost: [] });
  });

  it('and a show file that is no demo plays as dark as it was, and where it was sent', () => {
    const box = new Box();
    const outputs = leaveDarkPicture(box.folder);
    const begin = beginningOf(box.folder, box.file('a.json', small('a', 90)), demo);
    expect(begin).toMatchObject({ show: { show: { id: 'a' } }, lost: [{ happened: 'What played last is lost.' }] });
    expect(firstOf(begin, false, new FakeClock())).toMatchObject({ state: { blackout: true }, outputs });
    expect(firstOf(begin, true, new FakeClock())).toMatchObject({ state: { blackout: false } });
  });

  it('the show file of a first start that was ended before it was kept: that plays', () => {
    const box = new Box();
    noteFirstFile(box.folder, box.file('a.json', small('a', 90)));
    expect(beginningOf(box.folder, undefined, demo)).toMatchObject({ show: { revision: 0, show: { id: 'a' } }, said: [] });
    noteFirstFile(box.folder, join(box.folder, 'gone.json'));
    const begin = beginningOf(box.folder, undefined, demo);
    expect(begin.show).toBeUndefined();
    expect(begin.said.join()).toMatch(
      /gone\.json cannot be read.*There is no other show to play instead.*No show can be read any more/s,
    );
  });
});

describe('a show that cannot be played', () => {
  it('for as many edits as may be leaves the revision that was on', () => {
    const box = new Box();
    const played = box.import(lit('a', 90));
    const left = box.spoil(played, 150);
    const begin = box.start();
    expect(begin).toMatchObject({ show: { revision: played }, draft: { revision: left }, isDamaged: false });
    expect(begin.said).toEqual([expect.stringContaining('is unfinished')]);
  });

  it('leaves it also where the node is started with the same show file again', () => {
    const box = new Box();
    const file = box.file('a.json', lit('a', 90));
    box.start(file);
    const left = box.spoil(1);
    for (let start = 0; start < 2; start++)
      expect(box.start(file)).toMatchObject({ show: { revision: 1 }, draft: { revision: left }, wasOn: { revision: 1 } });
  });

  it('leaves it where the show is taken up again after another, though most of its revisions cannot be played', () => {
    const box = new Box();
    const file = box.file('a.json', lit('a', 90));
    box.start(file);
    const left = box.spoil(1, 150);
    box.start(box.file('b.json', lit('b', 70)));
    expect(box.start(file)).toMatchObject({ show: { revision: 1 }, draft: { revision: left } });
  });

  it('is not what is edited where the show file has something new: that plays and is edited', () => {
    const box = new Box();
    const file = box.file('a.json', lit('a', 90));
    box.start(file);
    box.spoil(1);
    box.file('a.json', lit('a', 100));
    const begin = box.start(file);
    expect(begin).toMatchObject({ show: { revision: 0, show: { tempo: 100 } } });
    expect(begin.draft).toBeUndefined();
    expect(box.start(file)).toMatchObject({ show: { show: { tempo: 100 } }, said: [] });
  });
});

describe('a fixture type of the library', () => {
  it('stays in a show what it was when that was made, though the library has another of that name now', () => {
    const box = new Box();
    const revision = box.import(tinyShow({ fixtures: [dimmer('lamp', 1)] }));
    box.inStore((db) =>
      db.exec(`INSERT INTO type_content (hash, type) SELECT 'of then', json_set(type, '$.name', 'As it was') FROM type_content;
               UPDATE revision_type SET hash = 'of then'`),
    );
    const { show } = box.start();
    expect(show).toMatchObject({ revision, show: { fixtureTypes: [{ id: 'dimmer', name: 'As it was' }] } });
  });
});

describe('a store that was made by a newer Duskhand', () => {
  it('is left alone, and what of it can be understood plays, also where there is no copy', () => {
    const box = new Box();
    box.import(small('a', 90));
    box.inStore((db) => db.pragma('user_version = 999'));
    const begin = beginningOf(box.folder, undefined, demo);
    expect(begin).toMatchObject({ show: { revision: 1, show: { tempo: 90 } }, wasOn: { revision: 1 }, isDamaged: false });
    expect(begin.said).toEqual([
      expect.stringContaining('made by a newer Duskhand; it is left as it is: what of it can be understood plays.'),
    ]);
  });
});

describe('a store that was lost', () => {
  it('is not taken for that of a new node, also where a command has made an empty one since', async () => {
    const box = new Box();
    box.import(small('a', 90));
    const db = openDatabase(box.folder);
    await keepCopy(db, box.folder);
    db.close();
    const empty = newFolder();
    openDatabase(empty).close();
    copyFileSync(databaseIn(empty), databaseIn(box.folder));
    const begin = beginningOf(box.folder, undefined, demo);
    expect(begin).toMatchObject({ isDamaged: true, show: { revision: 1, show: { tempo: 90 } } });
  });
});

/** Made by the code of that time: a node that was started with a show file, pressed "Warm", set the master to half, held a hit, and was killed. */
describe('a store of version 3', () => {
  it('opens, plays on without the hit that was held, and is brought up to date', () => {
    const folder = newFolder();
    copyFileSync(new URL('old/version-3.sqlite', import.meta.url), databaseIn(folder));
    const begin = beginningOf(folder, undefined, demo);
    expect(begin).toMatchObject({ said: [], isDamaged: false, cid: 'd8dc248c-69b0-4f8d-a627-dbdfb2577ec6' });
    expect(begin.show).toMatchObject({ revision: 1, show: { id: 'old-hall', version: 4 }, outputs: [{ to: ['192.0.2.7'] }] });
    const clock = new FakeClock();
    const { state } = firstOf(begin, false, clock);
    expect(state.entries.map(({ item }) => item)).toEqual(['look:warm']);
    // Half the light is L* 76.07 (CIE 15).
    expect(state).toMatchObject({ all: { to: expect.closeTo(0.7607, 4) }, blackout: false, alone: false, number: 0 });
    // What played then plays with the types of now, and keeps them from here on.
    const db = openDatabase(folder);
    keepStart(db, { cid: begin.cid }, AT);
    const types = db.prepare('SELECT id FROM revision_type WHERE revision = 1 ORDER BY id').all();
    db.close();
    expect(types).toEqual([{ id: 'dimmer' }, { id: 'rgbw-par' }]);
  });
});

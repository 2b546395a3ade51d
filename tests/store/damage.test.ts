import { createHash } from 'node:crypto';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState } from '../../node/playback/reduce.ts';
import { checkSettings } from '../../node/settings/check.ts';
import type { Show } from '../../node/show/document.ts';
import { applyEdit } from '../../node/show/edit.ts';
import { type Beginning, beginningOf } from '../../node/store/beginning.ts';
import { keepCopy } from '../../node/store/copies.ts';
import { databaseIn, openDatabase } from '../../node/store/database.ts';
import { JournalTable } from '../../node/store/journal.ts';
import { Keeper } from '../../node/store/keeper.ts';
import { mendStore } from '../../node/store/mend.ts';
import { RemoteTable } from '../../node/store/remotes.ts';
import { SettingsTable } from '../../node/store/settings.ts';
import { keepStart } from '../../node/store/show-files.ts';
import { ShowTable } from '../../node/store/shows.ts';
import { dimmer, everybody, tinyShow } from '../helpers/tiny-show.ts';
import { newFolder } from './new-folder.ts';

/** A card that forgets: whatever is spoiled of a store, the node plays a show of its owner, and can keep what comes. */
const demo = new URL('../../shows/barn-wedding.json', import.meta.url);
const CID = '1b671a64-40d5-491e-99b0-da01ff1f3341';
const SET_ONCE = { cid: CID, name: 'The box in the rack', remotes: ['Phone of Mia'] };
const AT = Date.UTC(2030, 5, 15);
const PAGE = 4096;
const tempos = [100, 101, 102];
const show = (tempo: number) =>
  tinyShow({
    tempo,
    fixtures: [dimmer('lamp', 1)],
    looks: Array.from({ length: 60 }, (_, i) => ({ id: `look-${i}`, parts: [{ who: everybody, level: i / 60 }] })),
  });
const state = (tempo: number) => freshState(compileShow(show(tempo)), 0);
const garbage = (length: number, seed: number): Buffer =>
  Buffer.concat(
    Array.from({ length: Math.ceil(length / 32) }, (_, i) => createHash('sha256').update(`${seed} ${i}`).digest()),
    length,
  );

/** A store with three revisions, the first two of which are in copies too. */
let whole: string;
beforeAll(async () => {
  whole = mkdtempSync(join(tmpdir(), 'duskhand-test-'));
  const db = openDatabase(whole);
  keepStart(db, { cid: CID }, AT);
  new RemoteTable(db).add('Phone of Mia', 'operator', AT);
  new SettingsTable(db).write(checkSettings({ format: 'duskhand-settings', version: 1, name: SET_ONCE.name }));
  for (const tempo of tempos) {
    const { revision } = new ShowTable(db).keep(show(tempo), 'a test', AT);
    for (let i = 0; i < 20; i++)
      new JournalTable(db).write({ at: i, wall: AT + i, revision, who: 'a test', command: null, state: state(tempo) });
    if (tempo !== tempos.at(-1)) await keepCopy(db, whole);
  }
  db.close();
}, 30_000);
afterAll(() => rmSync(whole, { recursive: true }));

function copyOfWhole(): string {
  const folder = newFolder();
  cpSync(whole, folder, { recursive: true });
  return folder;
}

/** What a node does that starts there: it begins, keeps what plays, takes an import, makes a copy. */
async function startIn(folder: string): Promise<{ begin: Beginning; said: string[]; revision: number; copied: boolean }> {
  const begin = beginningOf(folder, undefined, demo);
  const said = [...begin.said];
  const keeper = new Keeper({ folder, isDamaged: begin.isDamaged }, (line) => said.push(line));
  let id = 0;
  const ask = async (name: 'keepStart' | 'keepState' | 'keepShow' | 'keepCopy', ...args: unknown[]): Promise<unknown> => {
    const answered = await keeper.answer({ id: ++id, name, args } as unknown as Parameters<Keeper['answer']>[0]);
    if ('error' in answered) throw Object.assign(new Error(`${name}: ${answered.error.message}`), answered.error);
    return 'result' in answered ? answered.result : undefined;
  };
  try {
    await ask('keepStart', { cid: begin.cid }, AT);
    const row = { at: 1, wall: AT, who: 'a test', command: null, state: state(120) };
    if (begin.show !== undefined) await ask('keepState', { ...row, revision: begin.show.revision });
    const { revision } = (await ask('keepShow', show(150), 'import', AT)) as { revision: number };
    await ask('keepState', { ...row, revision });
    const copied = await ask('keepCopy').then(() => true);
    return { begin, said, revision, copied };
  } finally {
    keeper.close();
  }
}

const soundness = (file: string) => {
  const db = new Database(file, { readonly: true });
  try {
    return db.pragma('quick_check(1)', { simple: true });
  } finally {
    db.close();
  }
};

/** Everything that must hold, however the store was spoiled. */
async function mustStart(folder: string, what: string): Promise<Beginning> {
  const { begin, revision } = await startIn(folder).catch((error: Error) => {
    throw new Error(`${what}: ${error.message}`, { cause: error });
  });
  expect.soft(tempos, what).toContain(begin.show?.show.tempo);
  expect.soft(begin.show?.revision, what).toBeGreaterThan(0);
  for (const name of ['duskhand.sqlite', 'duskhand.copy-1.sqlite', 'duskhand.copy-2.sqlite'])
    expect.soft(soundness(join(folder, name)), `${what}: ${name}`).toBe('ok');
  // Only where something was lost is it said; then it is.
  if (begin.isDamaged) expect.soft(begin.said.join(), what).toMatch(/damaged/);
  const next = beginningOf(folder, undefined, demo);
  expect.soft({ tempo: next.show?.show.tempo, revision: next.show?.revision }, what).toEqual({ tempo: 150, revision });
  expect.soft(next.isDamaged, what).toBe(false);
  // What people rarely set is in the copies too.
  for (const { cid, settings, remotes } of [begin, next])
    expect.soft({ cid, name: settings.name, remotes: remotes.map(({ name }) => name) }, what).toEqual(SET_ONCE);
  return begin;
}

describe('a store of which', () => {
  it('nothing is spoiled gives all back, and says nothing', async () => {
    const folder = copyOfWhole();
    const begin = await mustStart(folder, 'sound');
    expect(begin).toMatchObject({ said: [], isDamaged: false });
    expect(begin.show).toMatchObject({ revision: 3, show: { tempo: 102 } });
    expect(begin.wasOn).toMatchObject({ revision: 3, at: 19 });
    expect(readdirSync(folder).filter((name) => name.includes('damaged'))).toEqual([]);
  });

  it.each([
    ['forgotten', () => Buffer.alloc(PAGE)],
    ['garbage', (page: number) => garbage(PAGE, page)],
  ])(
    'any one page is %s plays on, and is mended',
    async (what, made) => {
      const pages = statSync(databaseIn(whole)).size / PAGE;
      for (let page = 0; page < pages; page++) {
        const folder = copyOfWhole();
        const bytes = readFileSync(databaseIn(folder));
        made(page).copy(bytes, page * PAGE);
        writeFileSync(databaseIn(folder), bytes);
        await mustStart(folder, `page ${page} of ${pages} ${what}`);
      }
    },
    120_000,
  );

  it('something is spoiled again and again fills no disk: the newest two that were put aside stay', async () => {
    const folder = copyOfWhole();
    for (let time = 0; time < 4; time++) {
      truncateSync(databaseIn(folder), 5000);
      await startIn(folder);
    }
    expect(readdirSync(folder).filter((name) => /damaged-\d+\.sqlite$/.test(name))).toEqual([
      'duskhand.damaged-3.sqlite',
      'duskhand.damaged-4.sqlite',
    ]);
  });

  it('any one page is garbage takes in a show and plays it from then on, also where there is no copy', async () => {
    const pages = statSync(databaseIn(whole)).size / PAGE;
    for (let page = 0; page < pages; page++) {
      const folder = copyOfWhole();
      for (const name of ['duskhand.copy-1.sqlite', 'duskhand.copy-2.sqlite']) rmSync(join(folder, name));
      const bytes = readFileSync(databaseIn(folder));
      garbage(PAGE, page).copy(bytes, page * PAGE);
      writeFileSync(databaseIn(folder), bytes);
      const what = `page ${page} of ${pages}`;
      const { begin, revision } = await startIn(folder);
      expect.soft(begin.show?.show.id, what).not.toBe('barn-wedding');
      expect.soft(soundness(databaseIn(folder)), what).toBe('ok');
      const next = beginningOf(folder, undefined, demo);
      expect.soft(next, what).toMatchObject({ show: { revision, show: { tempo: 150 } }, isDamaged: false });
    }
  }, 120_000);

  it('pages are garbage here and there gives back what lies between them', () => {
    const folder = newFolder();
    const db = openDatabase(folder);
    const shows = new ShowTable(db);
    for (let tempo = 60; tempo < 160; tempo++) shows.keep(show(tempo), 'a test', AT);
    db.close();
    const bytes = readFileSync(databaseIn(folder));
    for (const share of [0.3, 0.7]) garbage(PAGE, 1).copy(bytes, Math.floor((share * bytes.length) / PAGE) * PAGE);
    writeFileSync(databaseIn(folder), bytes);
    mendStore(folder);
    const mended = openDatabase(folder);
    const left = new ShowTable(mended).revisions();
    mended.close();
    expect(left.length).toBeGreaterThan(80);
    expect(left.filter((number) => number > 40 && number < 60)).toHaveLength(19);
  });

  it('a document is lost loses the edits that were made of it, and is sound from then on', () => {
    const folder = newFolder();
    const db = openDatabase(folder);
    const shows = new ShowTable(db);
    const keep = (of: Show): number => shows.keep(of, 'a test', AT).revision;
    const before = keep(show(100));
    const lost = keep(show(110));
    const done = applyEdit(show(110), [{ do: 'set', kind: 'show', id: 'tiny', field: 'tempo', was: 110, now: 111 }]);
    if ('clashes' in done) throw new Error('a clash');
    shows.edits.keep(
      { ...done, parent: lost, editId: 'an edit', who: { id: 1, name: 'Mia' }, why: 'edit', undoes: [], what: 'the tempo' },
      AT,
    );
    db.prepare(`UPDATE revision SET document = '{"format' WHERE number = ?`).run(lost);
    db.close();
    mendStore(folder);
    expect(beginningOf(folder, undefined, demo)).toMatchObject({ show: { revision: before }, isDamaged: false });
  });

  it('the end is cut off plays on, wherever it is cut', async () => {
    const { size } = statSync(databaseIn(whole));
    for (const share of [0, 0.01, 0.2, 0.5, 0.8, 0.99]) {
      const folder = copyOfWhole();
      truncateSync(databaseIn(folder), Math.floor(size * share));
      await mustStart(folder, `cut at ${share}`);
    }
  }, 60_000);
});

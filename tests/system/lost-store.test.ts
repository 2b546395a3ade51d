import {
  chmodSync,
  cpSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { duskhand, endAll, NodeProcess, newFolder, showFile, until } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { BASE, plainShow } from './plain-show.ts';

/** A node whose disk does not tell what it should: the lights come first, then the explanation. */
let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

const WARM = [153, 153, 51, 51];
const store = (folder: string) => join(folder, 'duskhand.sqlite');

/** Folders in which a node has played once, and twice, so that the newest copy of the store has what the first time was on: "warm". */
const once = mkdtempSync(join(tmpdir(), 'duskhand-once-'));
const twice = mkdtempSync(join(tmpdir(), 'duskhand-twice-'));
beforeAll(async () => {
  for (const folder of [once, twice]) {
    if (folder === twice) cpSync(once, twice, { recursive: true });
    const node = await NodeProcess.start({ folder, ...(folder === once ? { show: plainShow } : {}) });
    await node.command({ do: 'press', button: 'warm' });
    if (folder === twice) await until('a second copy', () => existsSync(join(folder, 'duskhand.copy-2.sqlite')) || undefined);
    await node.stop();
  }
  await endAll();
});
afterAll(() => {
  for (const folder of [once, twice]) rmSync(folder, { recursive: true });
});

/** A copy of such a folder, to be spoilt. */
function played(before: string): string {
  const folder = newFolder();
  cpSync(before, folder, { recursive: true });
  return folder;
}

/** Changes a store that no node has open. */
function inStore(folder: string, sql: string): void {
  const db = new Database(store(folder));
  db.pragma('foreign_keys = OFF');
  db.exec(sql);
  db.close();
}

/** Neither the store, a copy of it, nor the show beside it can be read any more. */
function spoilAll(folder: string): void {
  for (const name of ['duskhand.sqlite', 'duskhand.copy-1.sqlite', 'duskhand.copy-2.sqlite', 'last-show.json'])
    if (existsSync(join(folder, name))) writeFileSync(join(folder, name), 'Nothing that can be read. '.repeat(500));
  for (const ending of ['-wal', '-shm']) rmSync(store(folder) + ending, { force: true });
}

/** Starts a node there, and gives the first thing that is lit on universe 1. */
async function startIn(folder: string): Promise<{ node: NodeProcess; first: number[] }> {
  const before = await wire.count();
  const node = await NodeProcess.start({ folder, sacn: wire.address });
  const { slots } = await wire.next('packet on universe 1', ({ universe }) => universe === 1, before);
  return { node, first: [...slots.slice(0, 4)] };
}

describe('a node plays on from', () => {
  it.each([
    ['is null-like', `UPDATE journal SET state = 'null' WHERE number = (SELECT max(number) FROM journal)`],
    ['is cut off', `UPDATE journal SET state = substr(state, 1, 40) WHERE number = (SELECT max(number) FROM journal)`],
    [
      'has a number that is none',
      `UPDATE journal SET state = replace(state, '"nextId":', '"nextId":null,"x":') WHERE number = (SELECT max(number) FROM journal)`,
    ],
  ])('the row before, where the newest row of the journal %s', async (_what, sql) => {
    const folder = played(once);
    inStore(
      folder,
      `INSERT INTO journal (at, playing_at, revision, who, state) SELECT at, playing_at, revision, who, state FROM journal ORDER BY number DESC LIMIT 1`,
    );
    inStore(folder, sql);
    expect((await startIn(folder)).first).toEqual(WARM);
  });

  it('the revision before, where the newest cannot be read, and says so', async () => {
    const folder = played(once);
    inStore(
      folder,
      `INSERT INTO revision (show_id, document, made_at, origin) SELECT show_id, replace(document, '"format"', '"gone":1,"format"'), made_at, origin FROM revision;
       UPDATE show SET current = (SELECT max(number) FROM revision)`,
    );
    const { node, first } = await startIn(folder);
    expect(first).toEqual(WARM);
    await node.says('stderr', /newest revision of "Plain" cannot be read\. Revision 1 of it plays instead/);
  });

  it('the types that the show was made with, where the library has others now', async () => {
    const folder = played(once);
    inStore(
      folder,
      `UPDATE revision SET document = replace(document, '"type":"dimmer"', '"type":"old-dimmer"');
       UPDATE revision_type SET id = 'old-dimmer' WHERE id = 'dimmer';
       UPDATE type_content SET type = replace(type, '"id":"dimmer"', '"id":"old-dimmer"')`,
    );
    expect((await startIn(folder)).first).toEqual(WARM);
  });

  it.each([1, 4])('what was on, dark, where a card has lost the last %d frames of the log without a sign', async (frames) => {
    const folder = newFolder();
    const node = await NodeProcess.start({ folder, show: plainShow });
    await node.command({ do: 'press', button: 'warm' });
    await node.command({ do: 'blackout', on: true });
    await until('the blackout is witnessed', () => {
      const file = join(folder, 'last-picture.json');
      return (existsSync(file) && readFileSync(file, 'utf8').includes('"blackout":true')) || undefined;
    });
    // So that the witness knows of the last row.
    await node.command({ do: 'master', level: 0.9, fade: 0 });
    await until(
      'the master is witnessed',
      () => readFileSync(join(folder, 'last-picture.json'), 'utf8').includes('"to":0.9') || undefined,
    );
    await node.kill();
    // A header of 32 bytes, then frames of 24 bytes and a page (SQLite file format, section 4.1).
    const wal = `${store(folder)}-wal`;
    truncateSync(wal, statSync(wal).size - frames * (24 + 4096));
    const { node: again, first } = await startIn(folder);
    expect(first).toEqual([0, 0, 0, 0]);
    const { blackout, troubles, masters } = await again.status();
    expect({ blackout, all: masters.all }).toEqual({ blackout: true, all: 0.9 });
    expect(troubles.map(({ happened }) => happened)).toEqual(['The end of what was written down is lost.']);
  });

  it.each([
    ['is cut short', (file: string) => truncateSync(file, 5000)],
    ['holds something else', (file: string) => writeFileSync(file, 'What is this? '.repeat(1000))],
    ['is empty', (file: string) => truncateSync(file, 0)],
    ['is gone', (file: string) => rmSync(file)],
  ])('a copy of an earlier start, where the store %s; what was there is put aside', async (what, damage) => {
    const folder = played(twice);
    for (const ending of ['-wal', '-shm']) rmSync(store(folder) + ending, { force: true });
    damage(store(folder));
    const { node, first } = await startIn(folder);
    expect(first).toEqual(WARM);
    // The copy was made before or after the last press, which the witness beside the store knows of.
    await node.says(
      'stderr',
      /^The store is damaged or gone\. (What cannot be read of it comes from the copy of an earlier start|What was on of "Plain" goes on)/m,
    );
    await node.says(
      'stderr',
      what === 'is gone' ? /^The store was gone: what could be read/m : /^The store was damaged: what could be read/m,
    );
    if (what !== 'is gone') expect(existsSync(join(folder, 'duskhand.damaged-1.sqlite'))).toBe(true);
    // From here on it is a store like any other.
    await node.command({ do: 'press', button: 'full' });
    expect((await node.status()).troubles).toEqual([]);
    await node.kill();
    const again = await startIn(folder);
    expect(again.first[0]).toBe(255);
  });
});

describe('a node none of whose shows can be read', () => {
  it('repeats what it showed last, under blackout, and says what to do', async () => {
    const folder = newFolder();
    const hazy = {
      ...plainShow,
      fixtures: [
        ...plainShow.fixtures,
        { id: 'hazer', name: 'Hazer', type: 'hazer', mode: '2ch', universe: 1, address: 100, use: 'haze' },
      ],
      looks: [
        ...plainShow.looks,
        { id: 'fog', name: 'Fog', fade: 0, unattended: true, parts: [{ who: [{ use: 'haze' }], haze: 1 }] },
      ],
      start: [...plainShow.start, { look: 'fog' }],
    };
    const node = await NodeProcess.start({ folder, show: hazy, sacn: wire.address });
    await node.command({ do: 'allow-haze', on: true });
    await node.command({ do: 'press', button: 'warm' });
    await wire.next('haze', ({ universe, slots }) => universe === 1 && slots[99] === 255, 0);
    await until('a picture of it', () => {
      const file = join(folder, 'last-picture.json');
      if (!existsSync(file)) return undefined;
      const { universes } = JSON.parse(readFileSync(file, 'utf8')) as { universes: { slots: string }[] };
      return Buffer.from(universes[0]?.slots ?? '', 'base64')[0] === WARM[0] || undefined;
    });
    await node.stop();
    spoilAll(folder);

    const { node: again, first } = await startIn(folder);
    expect(first).toEqual(WARM);
    await again.says(
      'stderr',
      /"Plain", which played last, cannot be read any more\. The lights repeat what they showed last, without haze and lasers/,
    );
    expect((await again.status()).universes.find(({ universe }) => universe === 1)?.levels[99]).toBe(0);
    await again.command({ do: 'blackout', on: true });
    await wire.next('dark', ({ universe, slots }) => universe === 1 && slots.every((value) => value === 0), 0);
    // A blackout outlives the end of the node also where nothing but a picture is left, and the light that it hides is not lost.
    await until(
      'the blackout is written down',
      () => readFileSync(join(folder, 'last-picture.json'), 'utf8').includes('"blackout":true') || undefined,
    );
    await again.kill();
    const { node: third, first: dark } = await startIn(folder);
    expect(dark).toEqual([0, 0, 0, 0]);
    expect((await third.status()).troubles).toEqual([
      expect.objectContaining({
        happened: '"Plain", which played last, cannot be read any more.',
        todo: expect.stringContaining('Import the show again'),
      }),
    ]);
    await third.command({ do: 'blackout', on: false });
    await until('light', async () => (wire.latest()?.join() === WARM.join() ? true : undefined));
  }, 60_000);

  it('and no picture either sends nothing, never a demo', async () => {
    const folder = played(once);
    for (const name of ['last-picture.json', 'last-picture.again.json']) rmSync(join(folder, name), { force: true });
    spoilAll(folder);
    const before = await wire.count();
    const node = await NodeProcess.start({ folder, sacn: wire.address });
    await node.says('stderr', /No show can be read any more\. Nothing is sent/);
    expect((await node.status()).universes).toEqual([]);
    await wire.count();
    expect(wire.heard.slice(before).filter(({ universe }) => universe === 1 || universe === 2)).toEqual([]);
    expect((await node.status()).troubles.map(({ guestsSee }) => guestsSee)).toEqual([
      'Nothing is sent: guests see no show light.',
    ]);

    // What it said to do helps, now and at the next start.
    expect(await node.does('import', showFile(plainShow))).toBe('Plain is kept as revision 1\n');
    await wire.next('the show', ({ universe, slots }) => universe === 1 && slots[0] === 51, before);
    expect((await node.status()).troubles).toEqual([]);
    expect(existsSync(join(folder, 'duskhand.damaged-1.sqlite'))).toBe(true);
    await node.kill();
    expect((await startIn(folder)).first).toEqual(BASE);
  });
});

describe('a store that is damaged in the middle, and of which there is no copy', () => {
  it.each([0.3, 0.5, 0.7])(
    'at %s of it is mended by whatever is asked of it: a phone pairs, a show comes in and stays',
    async (share) => {
      const folder = played(twice);
      inStore(folder, 'PRAGMA wal_checkpoint(TRUNCATE)');
      for (const name of ['duskhand.copy-1.sqlite', 'duskhand.copy-2.sqlite']) rmSync(join(folder, name), { force: true });
      const bytes = readFileSync(store(folder));
      const at = Math.floor((share * bytes.length) / 4096) * 4096;
      bytes.fill('Nothing. ', at, at + 3 * 4096);
      writeFileSync(store(folder), bytes);
      const node = await NodeProcess.start({ folder, sacn: wire.address });
      const { code } = JSON.parse(
        await (await node.ask('machine/invitations', { method: 'POST', body: '{"role":"operator"}' })).text(),
      );
      const { url } = node.file;
      const pairing = { method: 'POST', body: JSON.stringify({ code, name: 'Phone of Mia' }) };
      const headers = { 'content-type': 'application/json', origin: url };
      const paired = await fetch(`${url}/api/pair`, { ...pairing, headers });
      expect(paired.status, await paired.text()).toBe(200);
      expect(await node.does('import', showFile({ ...plainShow, tempo: 77 }))).toMatch(/^Plain is kept as revision \d+\n$/);
      await node.command({ do: 'press', button: 'full' });
      const before = await node.status();
      expect(before.troubles).toEqual([]);
      await node.kill();
      const { node: again, first } = await startIn(folder);
      expect(first[0]).toBe(255);
      expect(await again.status()).toMatchObject({ bpm: before.bpm, show: before.show, troubles: [] });
    },
    60_000,
  );
});

describe('a store of a newer Duskhand', () => {
  it('is left as it is, and does not keep the node from starting', async () => {
    const folder = played(twice);
    inStore(folder, 'PRAGMA user_version = 999');
    const newer = readFileSync(store(folder));
    const { node, first } = await startIn(folder);
    expect(first).toEqual(WARM);
    await node.says('stderr', /made by a newer Duskhand; it is left as it is/);
    await until('the trouble', async () => (await node.status()).troubles.some(({ id }) => id === 'disk-failing') || undefined);
    await node.stop();
    expect(readFileSync(store(folder)).equals(newer)).toBe(true);
  });
});

describe('an installation that is broken', () => {
  it('plays what played last, though it cannot bring the store up to date', async () => {
    const folder = played(once);
    const root = newFolder();
    const built = (name: string): string => fileURLToPath(new URL(`../../${name}`, import.meta.url));
    for (const name of ['dist/node', 'shows', 'package.json']) cpSync(built(name), join(root, name), { recursive: true });
    symlinkSync(built('node_modules'), join(root, 'node_modules'));
    rmSync(join(root, 'dist/node/store/migrations'), { recursive: true });
    const before = await wire.count();
    const node = await NodeProcess.start({ folder, sacn: wire.address, main: join(root, 'dist/node/main.js') });
    const { slots } = await wire.next('light', ({ universe }) => universe === 1, before);
    expect([...slots.slice(0, 4)]).toEqual(WARM);
    await node.says('stderr', /migrations.* It is read from a copy in memory/);
  });
});

describe('a show file that a node is started with', () => {
  it('is imported when it is new, and not again over what was imported since', async () => {
    const folder = newFolder();
    const file = join(folder, 'show.json');
    writeFileSync(file, JSON.stringify(plainShow));
    const node = await NodeProcess.start({ folder, show: file });
    expect((await node.ask('show', { method: 'POST', body: JSON.stringify({ ...plainShow, tempo: 90 }) })).status).toBe(200);
    await node.kill();
    const again = await NodeProcess.start({ folder, show: file, more: ['--fresh'] });
    expect((await again.status()).bpm).toBe(90);
    await again.stop();
    writeFileSync(file, JSON.stringify({ ...plainShow, tempo: 100 }));
    const changed = await NodeProcess.start({ folder, show: file, more: ['--fresh'] });
    expect((await changed.status()).bpm).toBe(100);
  });

  it('that cannot be read any more is said, and what played last plays', async () => {
    const folder = played(once);
    const before = await wire.count();
    const node = await NodeProcess.start({ folder, sacn: wire.address, show: join(folder, 'gone.json') });
    const { slots } = await wire.next('light', ({ universe }) => universe === 1, before);
    expect([...slots.slice(0, 4)]).toEqual(WARM);
    await node.says('stderr', /gone\.json cannot be read: there is no such file.*What played last plays instead/);
  });
});

describe('the data folder', () => {
  // Linux answers mkdir(2) in /proc with ENOENT, as where a folder above is missing.
  it('that a file system does not take is told, and costs no light', async () => {
    const folder = '/proc/none/data';
    const { code, stderr } = await duskhand(['import', showFile(plainShow), '--data', folder]);
    expect({ code, stderr }).toEqual({ code: 1, stderr: expect.stringMatching(/^The data folder .+ cannot be used: ENOENT/) });
    await NodeProcess.start({ folder, show: plainShow, sacn: wire.address }, 'line');
    await wire.next('light', ({ universe, slots }) => universe === 1 && slots.some(Boolean), 0);
  });

  it('and what lies in it are closed to others, also where they were open before', async () => {
    const folder = played(once);
    chmodSync(folder, 0o755);
    chmodSync(store(folder), 0o644);
    await NodeProcess.start({ folder });
    for (const path of [folder, store(folder), join(folder, 'lock.sqlite')]) expect(statSync(path).mode & 0o077).toBe(0);
  });
});

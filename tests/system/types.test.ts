import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import type { TypeChoice, TypeTaken } from '../../node/api/edit-contract.ts';
import { openDatabase } from '../../node/store/database.ts';
import { duskhand, endAll, NodeProcess, newFolder, showFile, until } from '../helpers/node-process.ts';
import { browse, pair, RemoteClient } from '../helpers/remote.ts';
import { channel, description, gdtf, plain, zipped } from '../rig/gdtf/made-file.ts';
import { png } from '../rig/gdtf/made-png.ts';
import { plainShow } from './plain-show.ts';

afterEach(endAll);

function typeFile(bytes: Buffer): string {
  const file = join(newFolder(), 'moth.gdtf');
  writeFileSync(file, bytes);
  return file;
}

const moth = typeFile.bind(undefined, gdtf(description({ channels: plain('1', 'Dimmer') + plain('2', 'Control1') })));
const porch = { id: 'porch', name: 'Porch', type: 'invented-moth', mode: 'basic', universe: 3, address: 1, use: 'facade' };
const withMoth = { ...plainShow, fixtures: [...plainShow.fixtures, porch] };
const carried = expect.arrayContaining([expect.objectContaining({ id: 'invented-moth' })]);
const KEPT =
  /^"Moth" is kept as type invented-moth\n {2}mode basic: Basic, 2 channels\n.*\n {2}Control1 is not used; its channel stays at rest\n {2}Not used: pictures and other files of the archive \(1\)\n$/;

describe('a type from a GDTF file', () => {
  it('is there for shows, with a node that runs', async () => {
    const node = await NodeProcess.start({ show: plainShow });
    const before = await node.client('import', showFile(withMoth));
    expect(before.stderr).toContain('there is no fixture type "invented-moth"');
    expect(await node.does('import-type', moth())).toMatch(KEPT);
    expect(await node.does('types')).toContain('invented-moth  Moth (imported): basic (2)');
    expect(await node.does('import', showFile(withMoth))).toBe('Plain is kept as revision 2\n');
    expect(JSON.parse(await node.does('export'))).toMatchObject({ fixtureTypes: carried });
  });

  it('is there for shows, without one', async () => {
    const folder = newFolder();
    const there = (command: string, ...args: string[]) => duskhand([command, '--data', folder, ...args]);
    expect((await there('check', showFile(withMoth))).code).toBe(1);
    expect((await there('import-type', moth())).stdout).toMatch(KEPT);
    expect((await there('types')).stdout).toContain('invented-moth  Moth (imported)');
    expect((await there('check', showFile(withMoth))).stdout).toContain('No mistakes found');
    const node = await NodeProcess.start({ folder, show: withMoth });
    expect(JSON.parse(await node.does('export'))).toMatchObject({ fixtureTypes: carried });
  });

  it('is read again as this version reads it, by the node and without one, and the show keeps the one that it carries', async () => {
    const folder = newFolder();
    const there = (command: string, ...args: string[]) => duskhand([command, '--data', folder, ...args]);
    await there('import-type', moth());
    expect((await there('read-types-again')).stdout).toBe('invented-moth: as before\n');
    // As an older reader might have left it.
    const db = openDatabase(folder);
    const older = `json_set(type, '$.powerW', 77)`;
    db.exec(`UPDATE fixture_type SET type = ${older}`);
    db.close();
    const node = await NodeProcess.start({ folder, show: withMoth });
    expect(await node.does('read-types-again')).toMatch(/^invented-moth: read anew; .*\n {2}.*Control1 is not used/);
    expect(await node.does('read-types-again', 'invented-moth')).toBe('invented-moth: as before\n');
    expect((await node.client('read-types-again', 'wash-head')).stderr).toContain('There is no imported type "wash-head"');
    const { fixtureTypes } = JSON.parse(await node.does('export')) as { fixtureTypes: { id: string; powerW?: number }[] };
    expect(fixtureTypes.find(({ id }) => id === 'invented-moth')?.powerW).toBe(77);
  });

  it('shows the pictures of its wheels to operators alone, as pictures and nothing else', async () => {
    const dots = png(16, 16);
    const wheel = '<Wheel Name="G"><Slot Name="Open"/><Slot Name="Dots" MediaFileName="dots"/></Wheel>';
    const job = channel('1', 'Gobo1', '<ChannelFunction Name="G" Attribute="Gobo1" Wheel="G"/>');
    const file = typeFile(zipped({ 'description.xml': description({ wheels: wheel, channels: job }), 'wheels/dots.png': dots }));
    const node = await NodeProcess.start({ show: plainShow });
    await node.does('import-type', file);
    const path = 'api/types/invented-moth/wheels/Gobo1/2';
    const cookie = await pair(node);
    const answer = await browse(node, path, { cookie });
    expect(Buffer.from(await answer.arrayBuffer())).toEqual(Buffer.from(dots));
    expect(answer.headers.get('content-type')).toBe('image/png');
    expect(answer.headers.get('x-content-type-options')).toBe('nosniff');
    expect(answer.headers.get('content-security-policy')).toContain('sandbox');
    for (const none of [
      'invented-moth/wheels/Gobo1/1',
      'invented-moth/wheels/Color1/2',
      'gone/wheels/Gobo1/2',
      'invented-moth/wheels/Gobo1/x',
    ])
      expect((await browse(node, `api/types/${none}`, { cookie })).status, none).toBe(404);
    expect((await browse(node, path)).status).toBe(403);
    expect((await browse(node, path, { cookie: await pair(node, 'helper') })).status).toBe(403);
  });

  it('is refused in plain words where the file is none, by the node and without one', async () => {
    const broken = typeFile(Buffer.from('no archive'));
    const folder = newFolder();
    expect(await duskhand(['import-type', '--data', folder, broken])).toMatchObject({ code: 1, stdout: '' });
    const node = await NodeProcess.start({ show: plainShow });
    const refused = await node.client('import-type', broken);
    expect(refused).toMatchObject({ code: 1, stdout: '' });
    expect(refused.stderr).toMatch(/^This is not a GDTF file, or it is damaged/);
    expect((await node.client('import-type', join(folder, 'gone.gdtf'))).stderr).toContain('cannot be read');
  });
});

describe('a type for the bench', () => {
  const bytes = new Uint8Array(gdtf(description({ channels: plain('1', 'Dimmer') + plain('2', 'Control1') })));
  const send = (node: NodeProcess, cookie: string, body: Uint8Array<ArrayBuffer>) =>
    browse(node, 'api/bench/types?name=moth.gdtf', {
      method: 'POST',
      cookie,
      body,
      headers: { 'content-type': 'application/octet-stream' },
    });

  it('comes from a file by an operator’s browser, is listed beside the library’s, and goes into the show with the first light', async () => {
    const node = await NodeProcess.start({ show: plainShow });
    const cookie = await pair(node);
    const taken = (await (await send(node, cookie, bytes)).json()) as TypeTaken;
    expect(taken).toMatchObject({
      id: 'invented-moth',
      name: 'Moth',
      maker: 'Invented',
      from: 'import',
      modes: [{ id: 'basic', name: 'Basic', channels: 2, sizes: [2] }],
      left: expect.arrayContaining(['Control1 is not used; its channel stays at rest']),
    });
    const rows = (await (await browse(node, 'api/bench/types', { cookie })).json()) as TypeChoice[];
    expect(rows.find(({ id }) => id === 'battery-uplight')).toMatchObject({
      from: 'library',
      use: 'uplight',
      words: ['uplight', 'uplighter', 'par'],
    });
    expect(rows.at(-1)).toMatchObject({ id: 'invented-moth', from: 'import' });

    const phone = await RemoteClient.open(node, cookie);
    const edit = (now: object, number: number) =>
      phone.edit({
        editId: `edit-number-${number}`,
        changes: [{ do: 'add', kind: 'fixture', id: 'porch', now: { id: 'porch', ...now } }],
      });
    expect(await edit(porch, 1)).toMatchObject({ type: 'edited', answer: { ok: true, faults: [] } });
    expect(JSON.parse(await node.does('export'))).toMatchObject({ fixtureTypes: carried });
    // One step takes both back.
    phone.send({ type: 'step', id: 77, step: { editId: 'step-number-1', way: 'undo', anyway: false, leave: false } });
    await until('the step done', () => phone.messages.find((one) => one.type === 'edited' && one.id === 77));
    const left = JSON.parse(await node.does('export')) as { fixtureTypes: object[]; fixtures: object[] };
    expect([left.fixtureTypes.length, left.fixtures.length]).toEqual([plainShow.fixtureTypes.length, plainShow.fixtures.length]);
    phone.close();
  });

  it('is refused in the words of the reader, and to everybody but operators', async () => {
    const node = await NodeProcess.start({ show: plainShow });
    const cookie = await pair(node);
    const broken = await send(node, cookie, new Uint8Array([1, 2, 3]));
    expect([broken.status, ((await broken.json()) as { error: string }).error]).toEqual([
      422,
      expect.stringMatching(/^This is not a GDTF file, or it is damaged/),
    ]);
    expect((await send(node, await pair(node, 'helper'), bytes)).status).toBe(403);
    expect((await browse(node, 'api/bench/types')).status).toBe(403);
  });
});

import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { FromRemote, Me, RemoteRow } from '../../node/api/contract.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { clientFrame, Raw, upgradeRequest } from '../helpers/raw.ts';
import { browse, pair, RemoteClient } from '../helpers/remote.ts';
import { attendedShow } from './attended-show.ts';
import { Listener } from './listener.ts';

let node: NodeProcess;
let wire: Listener;

beforeEach(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show: attendedShow, sacn: wire.address });
});

afterEach(async () => {
  await endAll();
  wire.close();
});

/** Slots of universe 1 as they came over the wire last, from slot 1. */
const slot = (number: number): number | undefined => wire.heard.findLast(({ universe }) => universe === 1)?.slots[number - 1];
const becomes = (number: number, value: number, within?: number) =>
  until(`slot ${number} at ${value}`, () => (slot(number) === value ? true : undefined), within);

describe('Pairing', () => {
  test('a fresh node is claimed by the first phone with the code on its console, once', async () => {
    const [, code = ''] = await node.says('stderr', /enter ([A-Z0-9-]{9})/);
    expect((await (await browse(node, 'api/me')).json()) as Me).toEqual({ remote: null, claimable: true });
    const body = JSON.stringify({ code: code.toLowerCase().replace('-', ' '), name: 'My phone' });
    const answer = await browse(node, 'api/pair', { method: 'POST', body });
    expect(answer.headers.get('set-cookie')).toMatch(/^duskhand=[\w-]{43}; HttpOnly; SameSite=Strict; Path=\/; Max-Age=\d+$/);
    expect((await answer.json()) as Me).toEqual({ remote: { id: 1, name: 'My phone', role: 'operator' }, claimable: false });
    const again = await browse(node, 'api/pair', { method: 'POST', body });
    expect(again.status).toBe(422);
  });

  test('once another phone has joined, the code on the console is worth nothing', async () => {
    const [, code = ''] = await node.says('stderr', /enter ([A-Z0-9-]{9})/);
    await pair(node);
    const late = await browse(node, 'api/pair', { method: 'POST', body: JSON.stringify({ code, name: 'Stranger' }) });
    expect(late.status).toBe(422);
  });

  test('codes cannot be guessed at: the eleventh try in a minute is turned away', async () => {
    const tries = Array.from({ length: 11 }, () => ({ method: 'POST', body: JSON.stringify({ code: 'AAAA-AAAA', name: 'x' }) }));
    const answers: number[] = [];
    for (const one of tries) answers.push((await browse(node, 'api/pair', one)).status);
    expect(answers.slice(0, 10)).toEqual(Array(10).fill(422));
    expect(answers[10]).toBe(429);
  });

  test('without a token there is the app and its pairing page, and nothing else', async () => {
    for (const path of ['api/remotes', 'api/invitations', 'api/local/play/status', 'api/local/show']) {
      const { status } = await browse(node, path, {
        method: path.endsWith('invitations') ? 'POST' : 'GET',
        ...(path.endsWith('invitations') ? { body: '{}' } : {}),
      });
      expect([401, 403], path).toContain(status);
    }
    await expect(RemoteClient.open(node, '')).rejects.toThrow();
    await expect(RemoteClient.open(node, `duskhand=${'A'.repeat(43)}`)).rejects.toThrow();
  });

  test('a page from elsewhere, or a foreign name for this machine, gets nothing even with a token', async () => {
    const cookie = await pair(node);
    const foreign = await browse(node, 'api/remotes', { cookie, headers: { origin: 'http://elsewhere.example' } });
    expect(foreign.status).toBe(403);
    // fetch cannot name another host; the raw request can.
    const { get } = await import('node:http');
    const status = await new Promise((resolve) =>
      get(`${node.file.url}/api/me`, { headers: { host: 'elsewhere.example', cookie } }, (r) => resolve(r.statusCode)),
    );
    expect(status).toBe(403);
  });

  test('an operator invites a helper and revokes him: his connection ends and his token is worth nothing', async () => {
    const cookie = await pair(node);
    const invited = await browse(node, 'api/invitations', { cookie, method: 'POST', body: '{"role":"helper"}' });
    const { code, qr, url } = (await invited.json()) as { code: string; qr: string; url: string };
    expect(url).toBe(`${node.file.url}/#pair=${code}`);
    expect(qr).toMatch(/^<svg/);
    const joined = await browse(node, 'api/pair', { method: 'POST', body: JSON.stringify({ code, name: 'Helper' }) });
    const his = joined.headers.get('set-cookie')?.split(';')[0] ?? '';
    const helper = await RemoteClient.open(node, his);
    helper.send({ type: 'beat', id: 1 });
    const rows = (await (await browse(node, 'api/remotes', { cookie })).json()) as RemoteRow[];
    expect(rows.map(({ name, role, connected }) => [name, role, connected])).toEqual([
      ['Test phone', 'operator', false],
      ['Helper', 'helper', true],
    ]);
    expect((await browse(node, 'api/remotes/1', { cookie: his, method: 'DELETE' })).status).toBe(403);
    expect((await browse(node, 'api/remotes/2', { cookie, method: 'DELETE' })).status).toBe(204);
    await until('end of the connection', () => helper.closed);
    await expect(RemoteClient.open(node, his)).rejects.toThrow();
  });

  test('a revoked phone that does not take the end for an end commands nothing more and is cut off', async () => {
    const cookie = await pair(node);
    const { url } = node.file;
    const liar = await (await new Raw(url).say(upgradeRequest(url, { cookie }))).heard();
    const say = (message: FromRemote) => liar.say(clientFrame(1, JSON.stringify(message)));
    await say({ type: 'command', id: 1, command: { do: 'press', button: 'dance' } });
    await becomes(1, 255);
    await node.does('forget', 'all');
    // It answers no close frame, and goes on as if nothing had been said.
    for (let id = 2; !liar.socket.destroyed && !liar.socket.readableEnded; id++) {
      await say({ type: 'command', id, command: { do: 'press', button: 'warm' } });
      await say({ type: 'beat', id });
      if (id > 1000) throw new Error('It is still there');
      await new Promise((done) => setTimeout(done, 20));
    }
    liar.socket.destroy();
    expect((await node.status()).buttons.find(({ id }) => id === 'warm')?.state).toBe('off');
    // Nor did it keep the watch alive: the warning comes five seconds after the end, as if it had said nothing since.
    await until('the warning', async () => ((await node.status()).watch.phase === 'warned' ? true : undefined), 6000);
  });

  test('from the machine everybody can be forgotten', async () => {
    const phone = await RemoteClient.join(node);
    expect(await node.does('remotes')).toContain('Test phone  operator');
    await node.does('forget', 'all');
    await until('end of the connection', () => phone.closed);
    expect(await node.does('remotes')).toContain('No phone is paired');
  });
});

describe('Playing', () => {
  test('a press reaches the wire, two phones agree, and a release brings back what was below', async () => {
    const [one, two] = [await RemoteClient.join(node), await RemoteClient.join(node)];
    expect((await one.command({ do: 'press', button: 'warm' })).type).toBe('done');
    await becomes(1, 153);
    await until('both phones saying on', () => [one, two].every(({ state }) => state?.buttons[0]?.state === 'on') || undefined);
    await two.command({ do: 'release', button: 'warm' });
    await becomes(1, 51);
    await until('both phones saying off', () => [one, two].every(({ state }) => state?.buttons[0]?.state === 'off') || undefined);
  });

  test('a helper has the buttons only and a viewer nothing; nobody can say what only the engine says', async () => {
    const helper = await RemoteClient.join(node, 'helper');
    expect((await helper.command({ do: 'press', button: 'warm' })).type).toBe('done');
    for (const command of [{ do: 'blackout', on: true }, { do: 'master', level: 0 }, { do: 'release-all' }] as const) {
      expect(await helper.command(command)).toMatchObject({ type: 'refused', error: 'A helper may not do this' });
    }
    const viewer = await RemoteClient.join(node, 'viewer');
    expect((await viewer.command({ do: 'press', button: 'full' })).type).toBe('refused');
    const operator = await RemoteClient.join(node);
    expect((await operator.command({ do: 'fall-back' })).type).toBe('refused');
    expect(await operator.command({ do: 'press', button: 'nonsense' })).toMatchObject({
      type: 'refused',
      error: expect.stringContaining('There is no button'),
    });
  });

  test('a hit lets go when the connection ends, whoever ends it', async () => {
    const phone = await RemoteClient.join(node);
    await phone.command({ do: 'press', button: 'bump' });
    await becomes(2, 255);
    phone.close();
    await becomes(2, 51, 1500);
  });

  test('a hit that two phones hold lets go when the second does', async () => {
    const [one, two] = [await RemoteClient.join(node), await RemoteClient.join(node)];
    for (const phone of [one, two]) phone.beat();
    await one.command({ do: 'press', button: 'bump' });
    await two.command({ do: 'press', button: 'bump' });
    await becomes(2, 255);
    expect((await one.command({ do: 'release', button: 'bump' })).type).toBe('done');
    const heard = wire.heard.length;
    // The next thing that the first asks for is on the wire, and the hit still is too.
    await one.command({ do: 'press', button: 'dance' });
    await becomes(1, 255);
    expect(wire.heard.slice(heard).every(({ universe, slots }) => universe !== 1 || slots[1] === 255)).toBe(true);
    two.close();
    await becomes(2, 51, 1500);
    one.close();
  });

  test('a hit lets go when its phone falls silent without closing anything', async () => {
    const phone = await RemoteClient.join(node);
    await phone.command({ do: 'press', button: 'bump' });
    await becomes(2, 255);
    await becomes(2, 51, 5000);
    expect(phone.closed).toBeUndefined();
  });

  test('what is driven by hand stands over the show and ends with the page', async () => {
    const phone = await RemoteClient.join(node);
    phone.beat();
    phone.send({ type: 'by-hand', id: 900, slots: [{ universe: 1, slot: 4, value: 7 }] });
    expect((await phone.answer(900)).type).toBe('done');
    await becomes(4, 7);
    await phone.command({ do: 'blackout', on: true });
    await becomes(4, 0);
    await phone.command({ do: 'blackout', on: false });
    await becomes(4, 7);
    phone.send({ type: 'by-hand', id: 901, identify: 'lamp-3' });
    await becomes(3, 255);
    expect(slot(4)).toBe(51);
    phone.close();
    await becomes(3, 51);
  });

  test('a watcher of the wire gets the bytes that go to it', async () => {
    const phone = await RemoteClient.join(node);
    phone.send({ type: 'watch-wire', rate: 30 });
    await phone.command({ do: 'press', button: 'warm' });
    await until(
      'levels with the look',
      () => phone.levels.some((frame) => frame.readUInt16BE(0) === 1 && frame[2] === 153 && frame[3] === 153) || undefined,
    );
    expect(phone.levels.every(({ length }) => length === 2 + 512)).toBe(true);
    await until('report', () => phone.last('wire'));
  });
});

describe('Bad messages', () => {
  test('each gets a clear answer or is cut off, and nothing else suffers', async () => {
    const good = await RemoteClient.join(node);
    const bad = await RemoteClient.join(node);
    bad.socket.send('{"type":"command","id":5,"command":{"do":"master","level":"loud"}}');
    expect(await bad.answer(5)).toMatchObject({ type: 'refused', error: expect.stringMatching(/command\.level/) });
    bad.socket.send('not json');
    expect(await bad.answer(-1)).toMatchObject({ type: 'refused', error: expect.stringContaining('not understood') });
    bad.socket.send(Buffer.from([1, 2, 3]));
    expect((await until('cut for binary', () => bad.closed)).code).toBe(1003);

    const huge = await RemoteClient.join(node);
    huge.socket.send('x'.repeat(17 * 1024));
    expect((await until('cut for size', () => huge.closed)).code).toBe(1009);

    const flood = await RemoteClient.join(node);
    for (let i = 0; i < 500; i++) flood.send({ type: 'beat', id: i });
    expect((await until('cut for flooding', () => flood.closed)).code).toBe(1008);

    expect((await good.command({ do: 'press', button: 'warm' })).type).toBe('done');
    await becomes(1, 153);
  });
});

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
    expect((await node.client('forget', '99')).stderr).toBe('There is no remote 99; "duskhand remotes" lists them\n');
    expect(await node.does('forget', 'all')).toBe('Forgotten: Test phone. To come back it must be paired again\n');
    expect(await node.does('forget', 'all')).toBe('No phone was paired\n');
    await until('end of the connection', () => phone.closed);
    expect(await node.does('remotes')).toContain('No phone is paired');
  });
});

import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { Raw } from '../helpers/raw.ts';
import { browse, pair, RemoteClient } from '../helpers/remote.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/**
 * Strangers who ask and ask, from the very address that the phone of the operator has. What they get is counted, not timed: however fast
 * the machine, it answers so many of theirs and no more, and every one of the operator's.
 */
let node: NodeProcess;
let wire: Listener;
let cookie: string;
let looker: string;
let url: string;

beforeAll(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
  ({ url } = node.file);
  cookie = await pair(node);
  looker = await pair(node, 'viewer', 'Looker');
});
afterAll(async () => {
  await endAll();
  wire.close();
});

/** What `node/api/doors.ts` lets one address ask at once, and a second. */
const AT_ONCE = 200;
const PER_SECOND = 10;

const asking = (path: string): string => `GET ${path} HTTP/1.1\r\nhost: ${new URL(url).host}\r\n\r\n`;
const answersIn = (text: string, status: number): number => text.split(`HTTP/1.1 ${status} `).length - 1;

describe('Strangers who do not wait for an answer', () => {
  test.each(['/', '/assets/none.js', '/api/me', '/api/remotes', '/api/local/play/status', '/nothing'])(
    'have their connection closed after a few of %s',
    async (path) => {
      const one = await new Raw(url, '127.0.2.1').say(asking(path).repeat(5000));
      await until('the end', () => (one.socket.closed || one.socket.readableEnded ? true : undefined));
      expect(one.got.split('HTTP/1.1 ').length - 1).toBeLessThanOrEqual(8);
      one.socket.destroy();
    },
  );

  test('keep no operator waiting, from the same address or another', async () => {
    const crowd: Raw[] = [];
    let isOver = false;
    const flood = async (from: string): Promise<void> => {
      while (!isOver) {
        const one = new Raw(url, from);
        crowd.push(one);
        await one.say(asking('/').repeat(3000));
        await Promise.race([one.ended, new Promise((done) => one.socket.once('close', done))]);
      }
    };
    const from = performance.now();
    const floods = ['127.0.0.1', '127.0.2.2', '127.0.2.3'].flatMap((address) => [flood(address), flood(address), flood(address)]);
    const phone = await RemoteClient.open(node, cookie);
    for (let i = 0; i < 10; i++) {
      expect((await phone.command({ do: 'tempo', bpm: 100 + i })).type).toBe('done');
      expect((await browse(node, 'api/remotes', { cookie })).status).toBe(200);
      expect((await node.status()).bpm).toBe(100 + i);
    }
    const seconds = (performance.now() - from) / 1000;
    isOver = true;
    for (const { socket } of crowd) socket.destroy();
    await Promise.all(floods);
    phone.close();
    const served = crowd.reduce((sum, { got }) => sum + answersIn(got, 200), 0);
    expect(crowd.length).toBeGreaterThan(10);
    expect(served).toBeLessThanOrEqual(3 * (AT_ONCE + PER_SECOND * (seconds + 1)));
  });
});

describe('Strangers who wait for every answer', () => {
  test('are refused past their measure and their connection is closed; the operator beside them is not', async () => {
    const from = performance.now();
    const told: number[] = [];
    for (let i = 0; i < AT_ONCE + 100; i++) {
      const one = await new Raw(url, '127.0.2.9').say(asking('/api/me'));
      await one.heard();
      told.push(Number(/^HTTP\/1\.1 (\d+)/.exec(one.got)?.[1]));
      if (told.at(-1) === 429) await one.ended;
      one.socket.destroy();
    }
    const seconds = (performance.now() - from) / 1000;
    expect(told.slice(0, AT_ONCE).every((status) => status === 200)).toBe(true);
    const served = told.filter((status) => status === 200).length;
    expect(served).toBeLessThanOrEqual(AT_ONCE + PER_SECOND * (seconds + 1));
    expect(told).toContain(429);
  });

  test('so is a paired phone that only looks on, and an operator never', async () => {
    const statuses = async (of: string, count: number): Promise<Set<number>> => {
      const all = new Set<number>();
      for (let i = 0; i < count; i++) all.add((await browse(node, 'api/me', { cookie: of })).status);
      return all;
    };
    const calm = AT_ONCE * 3;
    expect(await statuses(looker, calm)).toEqual(new Set([200, 429]));
    expect(await statuses(cookie, calm)).toEqual(new Set([200]));
  });
});

import { readdirSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { clientFrame, Raw, upgradeRequest } from '../helpers/raw.ts';
import { pair, RemoteClient } from '../helpers/remote.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/** What anybody on the venue's network can do to the port of the remote. The night goes on. */
let node: NodeProcess;
let wire: Listener;
let cookie: string;
/** What a helper may send is short; an operator's edits are not. */
let helper: string;

beforeAll(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
  cookie = await pair(node);
  helper = await pair(node, 'helper');
  // A chase that never stands still: a frame that is missing can be seen.
  await node.command({ do: 'press', button: 'Round' });
});
afterAll(async () => {
  await endAll();
  wire.close();
});

const url = (): string => node.file.url;
const descriptors = (): number => readdirSync(`/proc/${node.pid}/fd`).length;
const CROWD = 300;

/** Does `act` so many times, fewer at once than one address may hold. */
async function often(count: number, act: (i: number) => Promise<unknown>): Promise<void> {
  for (let first = 0; first < count; first += 20)
    await Promise.all(Array.from({ length: Math.min(20, count - first) }, (_, i) => act(first + i)));
}

const TLS_HELLO = Buffer.from('16030100a5010000a10303'.padEnd(400, '5a'), 'hex');
const paired = () => ({ cookie: helper });

/** Frames that no honest page sends, each on a socket of its own after a good handshake. */
const lies: Readonly<Record<string, () => Buffer>> = {
  'a frame that announces 2^63 bytes': () => Buffer.from([0x81, 0xff, 0x80, 0, 0, 0, 0, 0, 0, 0, 1, 2, 3, 4]),
  'a message beyond the limit': () => clientFrame(1, 'x'.repeat(20_000)),
  'a message beyond the limit in fragments': () =>
    Buffer.concat([
      clientFrame(1, 'x', { fin: false }),
      ...Array.from({ length: 40 }, () => clientFrame(0, 'x'.repeat(1000), { fin: false })),
    ]),
  'fragments of nothing without end': () =>
    Buffer.concat([
      clientFrame(1, '', { fin: false }),
      ...Array.from({ length: 20_000 }, () => clientFrame(0, '', { fin: false })),
    ]),
  'a frame without its mask': () => clientFrame(1, '{}', { masked: false }),
  'reserved bits and an opcode that is none': () => Buffer.from([0xf3, 0x80, 0, 0, 0, 0]),
  'text that is no UTF-8': () => clientFrame(1, Buffer.from([0xff, 0xfe, 0xc0])),
  'a close with half a code': () => clientFrame(8, Buffer.from([3])),
  'pings without end': () => Buffer.concat(Array.from({ length: 20_000 }, () => clientFrame(9, 'x'.repeat(100)))),
};

const attacks: Readonly<Record<string, (count: number) => Promise<void>>> = {
  'resets after a refused upgrade': (count) =>
    often(count, async () => (await (await new Raw(url()).say(upgradeRequest(url()))).heard()).reset()),
  'resets in the middle of a refused upgrade': (count) =>
    often(count, async () => (await new Raw(url()).say(upgradeRequest(url()))).reset()),
  'resets after the handshake of a paired phone': (count) =>
    often(count, async () => (await (await new Raw(url()).say(upgradeRequest(url(), paired()))).heard()).reset()),
  'resets in the middle of a page': (count) =>
    often(count, async () => (await new Raw(url()).say(`GET / HTTP/1.1\r\nhost: ${new URL(url()).host}\r\n\r\n`)).reset()),
  'bodies cut in the middle': (count) =>
    often(count, async () => {
      const head = `POST /api/pair HTTP/1.1\r\nhost: ${new URL(url()).host}\r\ncontent-type: application/json\r\ncontent-length: 900\r\n\r\n{"code":`;
      (await new Raw(url()).say(head)).reset();
    }),
  'uploads cut in the middle': (count) =>
    often(count, async () => {
      const head = `POST /api/local/types HTTP/1.1\r\nhost: x\r\nauthorization: Bearer ${node.file.token}\r\ncontent-type: application/octet-stream\r\ncontent-length: 9000000\r\n\r\n`;
      (await new Raw(url()).say(head + 'x'.repeat(10_000))).reset();
    }),
  'upgrades of another version, to another protocol, without a key, to another place': (count) =>
    often(count, async (i) => {
      const bad = [
        upgradeRequest(url(), { ...paired(), 'sec-websocket-version': '99' }),
        upgradeRequest(url(), { ...paired(), upgrade: 'h2c' }),
        upgradeRequest(url(), { ...paired(), 'sec-websocket-key': 'short' }),
        upgradeRequest(url(), paired(), '/other'),
        upgradeRequest(url(), { ...paired(), origin: 'http://elsewhere.example' }),
      ];
      const stranger = await (await new Raw(url()).say(bad[i % bad.length] ?? '')).heard();
      expect(stranger.got).toMatch(/^HTTP\/1\.1 4/);
      stranger.reset();
    }),
  'bytes that are no HTTP': (count) =>
    often(count, async (i) => {
      const bytes = [
        TLS_HELLO,
        Buffer.alloc(2000),
        'GET\r\n\r\n',
        `GET /${'x'.repeat(20_000)} HTTP/1.1\r\n`,
        'PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n',
      ];
      (await (await new Raw(url()).say(bytes[i % bytes.length] ?? '')).heard()).socket.destroy();
    }),
  'messages before the handshake is answered': (count) =>
    often(count, async () => {
      const early = Buffer.concat([
        Buffer.from(upgradeRequest(url(), paired())),
        clientFrame(1, '{"type":"beat","id":1}'),
        clientFrame(1, 'no'),
      ]);
      (await (await new Raw(url()).say(early)).heard()).reset();
    }),
  'closes of the line only, and of the socket only': (count) =>
    often(count, async (i) => {
      const phone = await (await new Raw(url()).say(upgradeRequest(url(), paired()))).heard();
      if (i % 2 === 0) phone.socket.end();
      else await phone.say(clientFrame(8, Buffer.from([0x03, 0xe8])));
      await phone.ended;
      phone.socket.destroy();
    }),
  ...Object.fromEntries(
    Object.entries(lies).map(([name, bytes]) => [
      name,
      (count: number) =>
        often(Math.ceil(count / 10), async () => {
          const phone = await (await new Raw(url()).say(upgradeRequest(url(), paired()))).heard();
          await phone.say(bytes());
          phone.reset();
        }),
    ]),
  ),
};

describe('Frames go on, nobody is shut out and nothing is left open after', () => {
  test.each(Object.entries(attacks))('%s', async (_name, attack) => {
    const open = descriptors();
    const said = node.stderr.split('\n').length;
    const { frames } = await node.status();
    const from = performance.now();
    await attack(CROWD);
    const phone = await RemoteClient.open(node, cookie);
    expect((await phone.command({ do: 'tempo', bpm: 121 })).type).toBe('done');
    phone.close();
    // The same process has drawn all that it should have meanwhile.
    const due = ((performance.now() - from) / 1000) * 40;
    await until(
      'as many frames as the time is worth',
      async () => ((await node.status()).frames >= frames + due * 0.9 ? true : undefined),
      2000,
    );
    await until('descriptors given back', () => (descriptors() <= open + 10 ? true : undefined), 8000);
    expect(node.stderr.split('\n').length - said).toBeLessThan(5);
  });
});

describe('A crowd that stays', () => {
  const kinds: Readonly<Record<string, () => string>> = {
    'says nothing': () => '',
    'never ends its headers': () => 'GET / HTTP/1.1\r\nhost: 127.0.0.1\r\nx: ',
    'never ends its body': () =>
      'POST /api/pair HTTP/1.1\r\nhost: 127.0.0.1\r\ncontent-type: application/json\r\ncontent-length: 900\r\n\r\n{',
    'was refused and does not go': () => upgradeRequest(url()),
  };

  test.each(Object.entries(kinds))('that %s fills no more than its place, and a paired phone gets in', async (_name, words) => {
    const open = descriptors();
    const crowd: Raw[] = [];
    // From one address, then from a hundred: no address can be told from a phone's.
    await often(600, async (i) => {
      const one = new Raw(url(), i < 300 ? '127.0.0.1' : `127.0.1.${1 + (i % 100)}`);
      crowd.push(one);
      await one.say(words());
    });
    expect(descriptors()).toBeLessThan(open + 200);
    const phone = await RemoteClient.open(node, cookie);
    expect((await phone.command({ do: 'tempo', bpm: 122 })).type).toBe('done');
    phone.close();
    for (const { socket } of crowd) socket.destroy();
    await until('descriptors given back', () => (descriptors() <= open + 10 ? true : undefined), 8000);
  });

  test('that is slow is sent away by itself', async () => {
    const slow = await new Raw(url()).say('GET / HTTP/1.1\r\nhost: 127.0.0.1\r\nx: ');
    const refused = await new Raw(url()).say(upgradeRequest(url()));
    await refused.ended;
    await slow.ended;
    expect(slow.got).toMatch(/^HTTP\/1\.1 408/);
  }, 20_000);
});

describe('One remote', () => {
  test('holds four sockets, the newest; it cannot take the places of the others', async () => {
    const viewer = await pair(node, 'viewer');
    const sockets: RemoteClient[] = [];
    for (let i = 0; i < 12; i++) sockets.push(await RemoteClient.open(node, viewer));
    await until('the oldest to go', () => (sockets.filter(({ closed }) => closed).length === 8 ? true : undefined));
    expect(sockets.slice(8).map(({ closed }) => closed)).toEqual([undefined, undefined, undefined, undefined]);
    const operator = await RemoteClient.open(node, cookie);
    expect((await operator.command({ do: 'tempo', bpm: 123 })).type).toBe('done');
    for (const one of [...sockets, operator]) one.close();
  });
});

describe('A node that stops', () => {
  test('waits for no phone that does not take the end for an end', async () => {
    const phone = await (await new Raw(url()).say(upgradeRequest(url(), paired()))).heard();
    const { code, millis } = await node.stop();
    expect(code).toBe(0);
    expect(millis).toBeLessThan(2000);
    phone.socket.destroy();
  });
});

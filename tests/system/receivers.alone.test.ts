import { createSocket } from 'node:dgram';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import dmxlib from 'dmxnet';
import { Receiver } from 'sacn';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Status } from '../../node/api/local-contract.ts';
import { type Ended, endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';

/**
 * Three published libraries as receivers of the running node, each inside what it can do: sacn 4.6 by multicast, e131 1.1 by unicast,
 * dmxnet 0.9 by Art-Net. What they make of the wire is held against what the node says goes to it.
 */
const require = createRequire(import.meta.url);
const e131 = require('e131');

/** Universes of the demo show are moved up, so that both octets of a number count; where to differs from one run to another. */
const UP = 1024 + (process.pid % 1900) * 16;
const text = readFileSync(new URL('../../shows/winter-dance.json', import.meta.url), 'utf8');
const demo = JSON.parse(text) as { fixtures: { universe: number }[] };
const fixtures = demo.fixtures.map((one) => ({ ...one, universe: one.universe + UP }));
const universes = [...new Set(fixtures.map(({ universe }) => universe))].sort();

type Picture = Map<number, readonly number[]>;
const seen: Record<'sacn' | 'e131' | 'dmxnet', Picture> = { sacn: new Map(), e131: new Map(), dmxnet: new Map() };
const complaints: string[] = [];
const priorities = new Set<number>();
const cids = { groups: new Set<string>(), oneByOne: new Set<string>() };
const closers: (() => void)[] = [];
let raw: Listener;
let node: NodeProcess;
let goodbye: Ended & { readonly millis: number };

async function freePort(): Promise<number> {
  const socket = createSocket('udp4');
  await new Promise<void>((resolve) => socket.bind(0, '127.0.0.1', resolve));
  const { port } = socket.address();
  await new Promise<void>((resolve) => socket.close(resolve));
  return port;
}

function listenSacn(): void {
  const receiver = new Receiver({ universes: [...universes], iface: '127.0.0.1', reuseAddr: true });
  receiver.on('packet', ({ universe, payloadAsBuffer, priority, cid }) => {
    seen.sacn.set(universe, [...(payloadAsBuffer ?? [])]);
    priorities.add(priority);
    cids.groups.add(cid.toString('hex'));
  });
  for (const event of ['PacketCorruption', 'PacketOutOfOrder', 'error'] as const)
    receiver.on(event, (error: Error) => complaints.push(`sacn: ${event} ${error.message}`));
  closers.push(() => receiver.close());
}

function listenE131(port: number): void {
  // Without a universe it joins no group: unicast only.
  const server = new e131.Server([], port);
  server.on('packet', (packet: { getUniverse(): number; getSlotsData(): Buffer; getCID(): Buffer }) => {
    seen.e131.set(packet.getUniverse(), [...packet.getSlotsData()]);
    cids.oneByOne.add(packet.getCID().toString('hex'));
  });
  for (const event of ['packet-error', 'packet-out-of-order', 'error']) server.on(event, () => complaints.push(`e131: ${event}`));
  closers.push(() => server.close());
}

function listenDmxnet(port: number): void {
  const peer = new dmxlib.dmxnet({ listen: port, hosts: ['127.0.0.1'], log: { level: 'error' } });
  for (const universe of universes) {
    const receiver = peer.newReceiver({ net: universe >> 8, subnet: (universe >> 4) & 15, universe: universe & 15 });
    receiver.on('data', (data: number[]) => seen.dmxnet.set(universe, data));
  }
  closers.push(
    () => peer.listener4.close(),
    () => peer.socket.close(),
  );
}

/** Waits until nothing is on its way any more and gives the status. */
const settled = (): Promise<Status> =>
  until('rest', async () => {
    const status = await node.status();
    return status.playing.every(({ state }) => state === 'on') ? status : undefined;
  });

beforeAll(async () => {
  raw = await Listener.open();
  const [toE131, toDmxnet] = [await freePort(), await freePort()];
  listenSacn();
  listenE131(toE131);
  listenDmxnet(toDmxnet);
  const outputs = [
    { id: 'groups', protocol: 'sacn', to: 'multicast', priority: 120 },
    { id: 'one-by-one', protocol: 'sacn', to: [`127.0.0.1:${toE131}`, raw.address] },
    { id: 'artnet', protocol: 'artnet', to: [`127.0.0.1:${toDmxnet}`] },
  ];
  node = await NodeProcess.start({ show: { ...demo, fixtures }, outputs });
});
afterAll(async () => {
  for (const close of closers) close();
  raw.close();
  await endAll();
});

describe('independent receivers', () => {
  it.each(['Announcements', 'Going home'])('see what the node says, after %s', async (button) => {
    await node.command({ do: 'press', button: button });
    await settled();
    for (const [name, picture] of Object.entries(seen)) {
      const shown = () => new Map(universes.map((universe) => [universe, picture.get(universe)?.join()]));
      let wanted: ReturnType<typeof shown> = new Map();
      // The flash guard may still hold light back when everything is on: what the node says is asked anew until both stand still.
      const agree = async () => {
        wanted = new Map((await node.status()).universes.map(({ universe, levels }) => [universe, levels.join()]));
        return universes.every((one) => shown().get(one) === wanted.get(one)) || undefined;
      };
      await until(name, agree, 5000).catch(() => undefined);
      expect([...wanted.keys()].sort()).toEqual(universes);
      expect([...wanted.values()].some((levels) => /[1-9]/.test(levels ?? ''))).toBe(true);
      expect(shown(), name).toEqual(wanted);
    }
  });

  it('find no packet corrupt or out of order, and the priority of the show', () => {
    expect(complaints).toEqual([]);
    expect(priorities).toEqual(new Set([120]));
  });

  it('can tell the two outputs apart: each counts its own packets, so each is a source of its own (6.2.5)', () => {
    expect(cids.groups.size).toBe(1);
    expect(cids.oneByOne.size).toBe(1);
    expect(cids.groups).not.toEqual(cids.oneByOne);
  });
});

describe('the goodbye', () => {
  it('is three terminated packets a universe (E1.31-2018 section 6.2.6), within a second, with exit code 0', async () => {
    goodbye = await node.stop();
    await raw.count();
    process.stdout.write(`SIGTERM to the end of the process: ${Math.round(goodbye.millis)} ms\n`);
    for (const universe of universes) {
      const heard = raw.heard.filter((packet) => packet.universe === universe);
      expect(heard.slice(-4).map(({ terminated }) => terminated)).toEqual([false, true, true, true]);
      expect(heard.filter(({ terminated }) => terminated)).toHaveLength(3);
    }
    expect(goodbye).toMatchObject({ code: 0, signal: null });
    // What is promised is a second; the rest is for a machine that is busy with tests.
    expect(goodbye.millis).toBeLessThan(3000);
  });
});

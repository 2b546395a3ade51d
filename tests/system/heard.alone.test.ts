import { createSocket, type Socket } from 'node:dgram';
import dmxlib from 'dmxnet';
import { Sender } from 'sacn';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { HeardAnswer, HeardSender } from '../../node/api/edit-contract.ts';
import type { Part } from '../../node/show/document.ts';
import { levelOf } from '../helpers/lightness.ts';
import { endAll, NodeProcess, type StartOptions, until } from '../helpers/node-process.ts';
import { browse, pair, RemoteClient } from '../helpers/remote.ts';
import { data, PREVIEW, TERMINATED } from '../monitor/by-hand.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/** The plain show where no other node of a busy machine sends. */
const FIRST = 721;
const show = { ...plainShow, fixtures: plainShow.fixtures.map((one) => ({ ...one, universe: FIRST - 1 + one.universe })) };

/** What a node takes from others on the loopback: from libraries that share no code with it, and from octets laid by the standards. */
let wire: Listener;
let node: NodeProcess;
let cookie: string;
const ends: (() => void)[] = [];
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  for (const end of ends.splice(0)) end();
  wire.close();
  await endAll();
});
async function start(options: StartOptions = {}): Promise<void> {
  node = await NodeProcess.start({ show, sacn: wire.address, ...options });
  cookie = await pair(node);
}

const ask = async (of?: string): Promise<HeardAnswer> =>
  (await (await browse(node, `api/bench/heard${of === undefined ? '' : `?of=${of}`}`, { cookie })).json()) as HeardAnswer;
const heard = (fits: (one: HeardSender) => boolean = () => true): Promise<HeardSender> =>
  until('such a sender', async () => (await ask()).senders.find(fits));
const level = (lamp: number, share: number): Part =>
  ({ who: [{ fixture: `lamp-${lamp}` }], brightness: 'best', level: expect.closeTo(levelOf(share), 3) }) as Part;

/** Sends 20 times a second until the test ends. */
function every(send: () => void): void {
  const timer = setInterval(send, 50);
  ends.push(() => clearInterval(timer));
}
async function socketAt(address: string): Promise<Socket> {
  const socket = createSocket('udp4');
  await new Promise<void>((resolve) => socket.bind(0, address, resolve));
  socket.setMulticastInterface('127.0.0.1');
  ends.push(() => socket.close());
  return socket;
}
const groupOf = (universe: number): string => `239.255.${universe >> 8}.${universe & 0xff}`;

describe('sACN of another controller', () => {
  function library(payload: Record<number, number>, priority = 120): void {
    const sender = new Sender({
      ...{ universe: FIRST, iface: '127.0.0.1', reuseAddr: true },
      defaultPacketOptions: { sourceName: 'Desk of another', priority, useRawDmxValues: true },
    });
    ends.push(() => sender.close());
    every(() => void sender.send({ payload }));
  }

  it('becomes a look by one edit, which is taken back', async () => {
    await start();
    library({ 1: 255, 2: 51, 9: 7 });
    const sender = await heard(({ perSecond }) => perSecond > 10);
    expect(sender).toMatchObject({
      ...{ protocol: 'sacn', name: 'Desk of another', address: '127.0.0.1', universes: [FIRST], priority: 120 },
      ...{ lights: 4, outranked: [] },
    });
    const { look, lights, universes } = await ask(sender.id);
    expect({ lights, universes }).toEqual({ lights: 5, universes: [FIRST, FIRST + 1] });
    expect(look?.parts).toEqual([{ who: [{ use: 'uplight' }], brightness: 'best', level: 0 }, level(1, 1), level(2, 0.2)]);
    expect(look?.left).toEqual([
      `Nothing is heard on universe ${FIRST + 1}: the look leaves Yoke as it is.`,
      `1 slot of universe ${FIRST} is of no light of yours and left out: 9.`,
    ]);

    const mia = await RemoteClient.open(node, cookie);
    const now = { id: 'desk', name: 'From the desk', parts: look?.parts ?? [] };
    const answer = await mia.edit({ editId: 'take-it-over', changes: [{ do: 'add', kind: 'look', id: 'desk', now }] });
    expect(answer).toMatchObject({ type: 'edited', answer: { ok: true } });
    const looks = async () => ((await (await browse(node, 'api/bench', { cookie })).json()) as { show: typeof show }).show.looks;
    expect((await looks()).map(({ id }) => id)).toContain('desk');
    mia.send({ type: 'step', id: 7, step: { editId: 'take-it-back', way: 'undo', anyway: false } });
    await until('one look fewer', async () => ((await looks()).some(({ id }) => id === 'desk') ? undefined : true));
  });

  it('is gone when it says so, and the node never hears itself', async () => {
    await start({ sacn: 'multicast' });
    await ask();
    const socket = await socketAt('127.0.0.1');
    let sequence = 0;
    const send = (options = 0) =>
      socket.send(data({ universe: FIRST, options, sequence: ++sequence & 0xff }), 5568, groupOf(FIRST));
    const timer = setInterval(send, 50);
    ends.push(() => clearInterval(timer));
    const { id } = await heard();
    expect((await ask()).senders.map(({ name }) => name)).toEqual(['Source_A']);
    clearInterval(timer);
    // E1.31-2018 section 6.2.6: three packets say that a stream is over.
    for (let i = 0; i < 3; i++) send(TERMINATED);
    const last = await until('silence', async () => {
      const answer = await ask(id);
      return answer.senders.length === 0 ? answer : undefined;
    });
    expect(last).not.toHaveProperty('look');
  });

  // E1.31-2018 section 6.2.6: preview data are not for live output.
  it('is not taken where it is preview data, and that is told', async () => {
    await start();
    const socket = await socketAt('127.0.0.1');
    let sequence = 0;
    every(() => socket.send(data({ universe: FIRST, options: PREVIEW, sequence: ++sequence & 0xff }), 5568, groupOf(FIRST)));
    const answer = await until('the name', async () => {
      const one = await ask();
      return one.previews.length > 0 ? one : undefined;
    });
    expect(answer).toMatchObject({ previews: ['Source_A'], senders: [] });
  });

  it('is told to operators alone', async () => {
    await start();
    const helper = await pair(node, 'helper');
    expect((await browse(node, 'api/bench/heard', { cookie: helper })).status).toBe(403);
    expect((await browse(node, 'api/bench/heard')).status).toBe(403);
  });
});

describe('Art-Net of another controller', () => {
  it('is heard of dmxnet by a node that sends none itself', async () => {
    const peer = new dmxlib.dmxnet({ hosts: ['127.0.0.1'], log: { level: 'error' } });
    ends.push(() => {
      peer.listener4.close();
      peer.socket.close();
    });
    await start();
    // The Port-Address has the number of the universe: net, sub-net and universe are its digits (Art-Net 4).
    const sender = peer.newSender({ ip: '127.0.0.1', net: FIRST >> 8, subnet: (FIRST >> 4) & 15, universe: FIRST & 15 });
    ends.push(() => sender.stop());
    sender.prepChannel(0, 255);
    sender.prepChannel(2, 102);
    every(() => sender.transmit());
    const { id } = await heard();
    expect(id).toBe('artnet-127.0.0.1');
    expect((await ask(id)).look?.parts.slice(1)).toEqual([level(1, 1), level(3, 0.4)]);
  });

  it('is heard by the Art-Net output of a node that has one', async () => {
    await start({ artnet: 'auto' });
    const socket = await socketAt('127.0.0.9');
    // ArtDmx by Art-Net 4's packet definition: four slots, no numbers.
    const dmx = [...Buffer.from('Art-Net\0'), 0, 0x50, 0, 14, 0, 0, FIRST & 0xff, FIRST >> 8, 0, 4, 0, 0, 0, 255];
    every(() => socket.send(Buffer.from(dmx), 6454, '127.0.0.1'));
    const { id } = await heard();
    expect(id).toBe('artnet-127.0.0.9');
    expect((await ask(id)).look).toMatchObject({ parts: [{}, level(4, 1)] });
    // What is told of outputs has no levels of others in it.
    expect(JSON.stringify(await node.status())).not.toContain('"levels":{}');
  });
});

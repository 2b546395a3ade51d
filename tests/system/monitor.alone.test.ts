import { execFile } from 'node:child_process';
import { createSocket, type Socket } from 'node:dgram';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { ForeignSource } from '../../node/api/contract.ts';
import { isRoot, type Running, Venue } from '../helpers/namespace.ts';
import { endAll, NodeProcess, showFile, until } from '../helpers/node-process.ts';
import { RemoteClient } from '../helpers/remote.ts';
import { type DataByHand, data, TERMINATED } from '../monitor/by-hand.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

const path = (file: string): string => fileURLToPath(new URL(file, import.meta.url));

/** The plain show far from the universes that other nodes on the loopback of a busy machine may send. */
const FIRST = 701;
const shiftedShow = {
  ...plainShow,
  fixtures: plainShow.fixtures.map((one) => ({ ...one, universe: FIRST - 1 + one.universe })),
};
/** As many universes more as need a third socket to hold their memberships. */
const LAST = FIRST + 44;
const lamp = (universe: number) => ({
  ...shiftedShow.fixtures[0],
  id: `lamp-of-${universe}`,
  name: `Lamp of ${universe}`,
  universe,
});
const wideShow = {
  ...shiftedShow,
  fixtures: [...shiftedShow.fixtures, ...Array.from({ length: 43 }, (_, i) => lamp(FIRST + 2 + i))],
};

/** E1.31-2018 section 9.3. */
const groupOf = (universe: number): string => `239.255.${universe >> 8}.${universe & 0xff}`;

/** Another device, which sends on the loopback by plain sockets until it is stopped. */
class Device {
  readonly #socket: Socket;
  #timer: NodeJS.Timeout | undefined;
  #sequence = 0;

  private constructor(socket: Socket) {
    this.#socket = socket;
  }

  static async at(address: string): Promise<Device> {
    const socket = createSocket('udp4');
    await new Promise<void>((resolve) => socket.bind(0, address, resolve));
    socket.setMulticastInterface('127.0.0.1');
    return new Device(socket);
  }

  /** sACN, 40 times a second, to a group. */
  sacn(packet: DataByHand = {}, group = groupOf(packet.universe ?? FIRST)): void {
    clearInterval(this.#timer);
    const next = () => data({ universe: FIRST, ...packet, sequence: this.#next() });
    this.#timer = setInterval(() => this.#socket.send(next(), 5568, group), 25);
  }

  /** Three packets that say that it is over. */
  endSacn(): void {
    clearInterval(this.#timer);
    const last = () => data({ universe: FIRST, options: TERMINATED, sequence: this.#next() });
    for (let i = 0; i < 3; i++) this.#socket.send(last(), 5568, groupOf(FIRST));
  }

  /** ArtDmx by Art-Net 4's packet definition, two slots, 40 times a second to this machine. */
  artDmx(portAddress: number): void {
    const packet = [...Buffer.from('Art-Net\0'), 0, 0x50, 0, 14, 0, 0, portAddress & 0xff, portAddress >> 8, 0, 2, 255, 255];
    this.#timer = setInterval(() => this.#socket.send(Buffer.from(packet), 6454, '127.0.0.1'), 25);
  }

  close(): void {
    clearInterval(this.#timer);
    this.#socket.close();
  }

  #next(): number {
    this.#sequence = (this.#sequence + 1) & 0xff;
    return this.#sequence;
  }
}

describe('the wire page of a node on the loopback', () => {
  const devices: Device[] = [];
  const device = async (address = '127.0.0.1'): Promise<Device> => {
    const one = await Device.at(address);
    devices.push(one);
    return one;
  };
  let wire: Listener;
  beforeEach(async () => {
    wire = await Listener.open();
  });
  afterEach(async () => {
    for (const one of devices.splice(0)) one.close();
    wire.close();
    await endAll();
  });

  async function watch(node: NodeProcess): Promise<(fits: (sources: readonly ForeignSource[]) => boolean) => Promise<unknown>> {
    const remote = await RemoteClient.join(node);
    remote.beat();
    remote.send({ type: 'watch-wire', rate: 1 });
    return async (fits) => {
      const last = () => remote.last('wire')?.sources;
      const found = await until('such sources', () => fits(last() ?? []) || undefined).catch(() => undefined);
      if (found === undefined) throw new Error(`The sources are ${JSON.stringify(last())}`);
      return last();
    };
  }
  const some = (sources: readonly ForeignSource[]): boolean => sources.length > 0;
  const none = (sources: readonly ForeignSource[]): boolean => sources.length === 0;
  const meaning = (text: RegExp) => (sources: readonly ForeignSource[]) => text.test(sources[0]?.meaning ?? '');

  it('shows who else sends sACN, what it means, and that it has ended', async () => {
    const shows = await watch(await NodeProcess.start({ show: shiftedShow, sacn: wire.address }));
    const other = await device();
    other.sacn({ priority: 150 });
    expect(await shows((sources) => (sources[0]?.perSecond ?? 0) > 30)).toEqual([
      {
        protocol: 'sacn',
        universe: FIRST,
        name: 'Source_A',
        address: '127.0.0.1',
        priority: 150,
        perSecond: expect.any(Number),
        lastSeenAt: expect.any(Number),
        meaning: 'It wins: lights on this universe follow it, not this node.',
      },
    ]);
    other.sacn({ priority: 100 });
    await shows(meaning(/^Lights may mix both, or flicker\.$/));
    other.sacn({ priority: 99 });
    await shows(meaning(/^Ours wins; it takes over if this node stops\.$/));
    other.endSacn();
    await shows(none);
  });

  // E1.31-2018 section 9.1: the universe is what the packet says.
  it('goes by the universe of the packet, whatever group it came to', async () => {
    const shows = await watch(await NodeProcess.start({ show: shiftedShow, sacn: wire.address }));
    (await device()).sacn({ universe: FIRST + 1 }, groupOf(FIRST));
    expect(await shows(some)).toMatchObject([{ universe: FIRST + 1 }]);
  });

  it('hears every universe of a wide show, and those of the next', async () => {
    const node = await NodeProcess.start({ show: wideShow, sacn: wire.address });
    const shows = await watch(node);
    (await device()).sacn({ universe: LAST, who: 45 });
    expect(await shows(some)).toMatchObject([{ universe: LAST }]);
    await node.does('import', showFile(shiftedShow));
    await shows(none);
    (await device()).sacn({ universe: FIRST + 1, who: 2 });
    expect(await shows(some)).toMatchObject([{ universe: FIRST + 1 }]);
  });

  it('does not show the node to itself', async () => {
    const own: Socket = createSocket({ type: 'udp4', reuseAddr: true });
    try {
      const heard = new Promise<void>((resolve) => own.once('message', () => resolve()));
      await new Promise<void>((resolve) => own.bind(5568, groupOf(FIRST), resolve));
      own.addMembership(groupOf(FIRST), '127.0.0.1');
      const shows = await watch(await NodeProcess.start({ show: shiftedShow, sacn: 'multicast' }));
      // Its own packets do come back on the loopback, and somebody else's stand alone beside them.
      await heard;
      (await device()).sacn();
      expect(await shows(some)).toMatchObject([{ name: 'Source_A', meaning: 'Lights may mix both, or flicker.' }]);
    } finally {
      own.close();
    }
  });

  it('shows who else sends Art-Net to us', async () => {
    const shows = await watch(await NodeProcess.start({ show: shiftedShow, sacn: wire.address, artnet: 'auto' }));
    (await device('127.0.0.9')).artDmx(FIRST + 1);
    expect(await shows((sources) => (sources[0]?.perSecond ?? 0) > 30)).toMatchObject([
      {
        protocol: 'artnet',
        universe: FIRST + 1,
        portAddress: FIRST + 1,
        address: '127.0.0.9',
        meaning: 'Art-Net knows no priority: lights may mix both, or flicker.',
      },
    ]);
  });
});

describe.skipIf(!isRoot)('a node whose network comes and goes', () => {
  const venue = new Venue();
  const folder = mkdtempSync(join(tmpdir(), 'duskhand-monitor-'));
  let watcher: Running;
  const sources = (): readonly ForeignSource[] => JSON.parse(watcher.out.at(-1) ?? '[]') as ForeignSource[];

  beforeAll(async () => {
    await venue.build(['10.78.0.2/24']);
    await venue.plugIn();
    const sender = venue.start('floor', process.execPath, path('../monitor/sender.mjs'), '10.78.0.2', '239.255.0.1');
    await until('sender', () => sender.out.includes('sending') || undefined);
  });
  afterAll(async () => {
    await venue.tearDown();
    rmSync(folder, { recursive: true, force: true });
  });

  it('hears others as soon as it is there, and again when it is back', async () => {
    const file = join(folder, 'show.json');
    writeFileSync(file, JSON.stringify(plainShow));
    const words = ['run', '--show', file, '--data', folder, '--http', '127.0.0.1:0', '--name', 'off'];
    const node = venue.start('booth', process.execPath, path('../../dist/node/main.js'), ...words);
    await until('node.json', () => existsSync(join(folder, 'node.json')) || undefined);
    watcher = venue.start('booth', process.execPath, path('../monitor/watcher.mjs'), folder);
    await until('report', () => watcher.out.length > 0 || undefined);
    expect(sources()).toEqual([]);

    await venue.ip('booth', 'addr', 'add', '10.78.0.1/24', 'dev', 'eth0');
    await venue.ip('booth', 'link', 'set', 'eth0', 'up');
    const heard = () => (sources().some(({ address }) => address === '10.78.0.2') ? true : undefined);
    await until('source', heard);

    await venue.ip('booth', 'link', 'del', 'eth0');
    await until('loss of the source', () => sources().length === 0 || undefined);
    await venue.plugIn();
    await venue.ip('booth', 'addr', 'add', '10.78.0.7/24', 'dev', 'eth0');
    await venue.ip('booth', 'link', 'set', 'eth0', 'up');
    await until('source again', heard);
    expect(node.errors.filter((line) => line.includes('other senders'))).toEqual([]);
  });
});

// The whole of it is `npm run fuzz`.
it('some thousand malformed datagrams harm nothing', async () => {
  const words = [path('../fuzz/main.mjs'), '--memory', '20000', '--sockets', '20000', '--seed', '20300615'];
  const { stdout } = await promisify(execFile)(process.execPath, words);
  expect(stdout.trimEnd().split('\n').at(-1)).toBe('All is as it should be');
});

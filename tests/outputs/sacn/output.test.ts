import { describe, expect, it } from 'vitest';
import { type SacnSettings, sacnSettings } from '../../../node/core/output-settings.ts';
import type { OutputHost } from '../../../node/core/ports.ts';
import { SacnOutput } from '../../../node/outputs/sacn/output.ts';
import { OutputRig } from '../../helpers/output-rig.ts';
import { arrival, describeOutput } from '../../helpers/output-suite.ts';
import { link, loopback, type SentDatagram } from '../../helpers/recording-udp.ts';

const cid = Buffer.from('0f1e2d3c4b5a69788796a5b4c3d2e1f0', 'hex');
const eth = link('eth0', '192.0.2.10');
const wlan = link('wlan0', '198.51.100.10');
const eth6 = link('eth0', '2001:db8::10', { scope: 2 });

const settings = (rest: Record<string, unknown>): SacnSettings => sacnSettings.parse({ protocol: 'sacn', id: 'main', ...rest });
const build =
  (rest: Record<string, unknown> = {}) =>
  (host: OutputHost) =>
    new SacnOutput({ settings: settings(rest), cid, sourceName: 'Tent', host });

/** Reads by the offsets of E1.31-2018 Tables 4-1, 4-2 and 4-3, so that our own tables are not judged by themselves. */
function read({ bytes }: { readonly bytes: Uint8Array }) {
  const packet = Buffer.from(bytes);
  const extended = packet.readUInt32BE(18) === 8;
  const none = {
    kind: 'data',
    sequence: -1,
    synchronizationAddress: -1,
    priority: -1,
    options: -1,
    universe: -1,
    slots: packet,
    listed: [] as number[],
  };
  if (extended && packet.readUInt32BE(40) === 1) {
    return { ...none, kind: 'sync', sequence: packet.readUInt8(44), synchronizationAddress: packet.readUInt16BE(45) };
  }
  if (extended) {
    const listed = Array.from({ length: (packet.length - 120) / 2 }, (_, i) => packet.readUInt16BE(120 + 2 * i));
    return { ...none, kind: 'discovery', listed };
  }
  return {
    ...none,
    priority: packet.readUInt8(108),
    synchronizationAddress: packet.readUInt16BE(109),
    sequence: packet.readUInt8(111),
    options: packet.readUInt8(112),
    universe: packet.readUInt16BE(113),
    slots: Uint8Array.from(packet.subarray(126)),
  };
}

const kinds = (sent: readonly SentDatagram[]): string[] => sent.map((datagram) => read(datagram).kind);
const only = (kind: 'data' | 'sync' | 'discovery', sent: readonly SentDatagram[]): SentDatagram[] =>
  sent.filter((one) => read(one).kind === kind);
const sequences = (sent: readonly SentDatagram[]): number[] => sent.map((datagram) => read(datagram).sequence);
const to = ({ address, port, socket }: SentDatagram): string => `${arrival(address, socket.multicastInterface)} ${port}`;
const data = (bytes: Uint8Array) => {
  const packet = read({ bytes });
  return packet.kind === 'data' ? packet : undefined;
};

describeOutput({
  name: 'sACN by multicast',
  build: build(),
  links: [eth, wlan],
  destinations: (universe) => [`239.255.0.${universe} by 192.0.2.10`, `239.255.0.${universe} by 198.51.100.10`],
  read: data,
});

describeOutput({
  name: 'sACN by multicast over IPv6, synchronized',
  build: build({ family: 'IPv6', sync: 9 }),
  links: [eth6],
  destinations: (universe) => [`ff18::8300:${universe} by ::%eth0`],
  read: data,
});

describeOutput({
  name: 'sACN by unicast',
  build: build({ to: ['192.0.2.50', '198.51.100.50:6000', '2001:db8::50'] }),
  links: [eth, wlan, eth6],
  destinations: () => ['192.0.2.50', '198.51.100.50', '2001:db8::50'],
  read: data,
});

describe('multicast', () => {
  it('goes to the universe’s group, port 5568, by every interface, with one sequence number', () => {
    const rig = new OutputRig(build(), [1, 300]).start([loopback, eth, wlan]);
    const sent = only('data', rig.frame());
    expect(sent.map(to)).toEqual([
      '239.255.0.1 by 192.0.2.10 5568',
      '239.255.0.1 by 198.51.100.10 5568',
      '239.255.1.44 by 192.0.2.10 5568',
      '239.255.1.44 by 198.51.100.10 5568',
    ]);
    expect(sequences(sent)).toEqual([0, 0, 0, 0]);
    expect(rig.packets).toBe(2);
  });

  it('goes by the interface that is asked for, and by no other', () => {
    const rig = new OutputRig(build({ interface: 'wlan0' }), [1]).start([loopback, eth, wlan]);
    expect(rig.frames(1000).map(({ socket }) => socket.multicastInterface)).toEqual(expect.arrayContaining(['198.51.100.10']));
    expect(rig.network.open.size).toBe(1);
    expect(rig.output.report(rig.clock.now()).towards).toBe('multicast on wlan0');
  });

  it('goes by loopback only where there is nothing else', () => {
    const rig = new OutputRig(build(), [1]).start([loopback]);
    expect(only('data', rig.frame()).map(to)).toEqual(['239.255.0.1 by 127.0.0.1 5568']);
    expect(rig.output.report(rig.clock.now()).towards).toBe('multicast on lo (this computer only)');
    rig.relink([loopback, eth]);
    expect(only('data', rig.frame()).map(to)).toEqual(['239.255.0.1 by 192.0.2.10 5568']);
    rig.relink([loopback]);
    expect(rig.frame()).toEqual([]);
  });
});

describe('each universe', () => {
  it('counts its packets from 0 to 255 and on from 0, none left out', () => {
    const rig = new OutputRig(build(), [1, 2]).start([eth]);
    const sent: SentDatagram[] = [];
    for (let frame = 0; frame < 600; frame++) {
      rig.set(1, 1, frame & 0xff);
      sent.push(...only('data', rig.frame()));
    }
    for (const universe of [1, 2]) {
      const mine = sequences(sent.filter((datagram) => read(datagram).universe === universe));
      // The first are 20 apart, see the tests of sequences.
      expect(mine).toEqual([0, 20, 40, ...mine.slice(3).map((_, i) => (i + 60) % 256)]);
    }
    expect(sent.filter((datagram) => read(datagram).universe === 1)).toHaveLength(600);
  });

  it('bears the CID, the name, the priority and no options', () => {
    const rig = new OutputRig(build({ priority: 143 }), [5]).start([eth]);
    const [datagram] = only('data', rig.frame());
    expect(datagram && read(datagram)).toMatchObject({ priority: 143, options: 0, synchronizationAddress: 0, universe: 5 });
    expect(Buffer.from(datagram?.bytes ?? []).subarray(22, 38)).toEqual(cid);
    expect(Buffer.from(datagram?.bytes ?? []).toString('latin1', 44, 49)).toBe('Tent\0');
    expect(datagram?.bytes).toHaveLength(638);
  });
});

// E1.31-2018 section 6.2.6: three packets with bit 6 set.
describe('termination', () => {
  it('is sent three times for a universe that is carried no more, in sequence', () => {
    const rig = new OutputRig(build(), [1, 2]).start([eth]);
    rig.frames(500);
    const before = rig.packets;
    rig.output.carry([2], rig.clock.now());
    const sent = only('data', rig.frames(5000)).filter((datagram) => read(datagram).universe === 1);
    expect(sent.map((datagram) => read(datagram).options)).toEqual([0x40, 0x40, 0x40]);
    const [first = 0] = sequences(sent);
    expect(sequences(sent)).toEqual([first, first + 1, first + 2]);
    expect(first).toBe(61);
    expect(rig.packets - before).toBeGreaterThan(3);
  });

  it('is sent three times for every universe at the end, and then an empty list of universes', () => {
    const rig = new OutputRig(build({ to: ['192.0.2.50', '192.0.2.51'] }), [1, 2]).start([eth]);
    rig.frames(500);
    const sent = rig.stop();
    for (const universe of [1, 2]) {
      for (const address of ['192.0.2.50', '192.0.2.51']) {
        const mine = only('data', sent).filter((datagram) => read(datagram).universe === universe && datagram.address === address);
        expect(mine.map((datagram) => [read(datagram).options, read(datagram).sequence])).toEqual([
          [0x40, 61],
          [0x40, 62],
          [0x40, 63],
        ]);
      }
    }
    expect(sent.slice(-1).map(read)).toMatchObject([{ kind: 'discovery', listed: [] }]);
  });

  it('is finished at the end if it had only begun', () => {
    const rig = new OutputRig(build(), [1]).start([eth]);
    rig.frames(500);
    rig.output.carry([], rig.clock.now());
    expect(only('data', rig.frame())).toHaveLength(1);
    expect(only('data', rig.stop()).map((datagram) => read(datagram).options)).toEqual([0x40, 0x40]);
  });

  it('is not sent for what was never heard of', () => {
    const rig = new OutputRig(build(), [1]).start([eth]);
    rig.output.carry([], rig.clock.now());
    expect(rig.frames(1000)).toEqual([]);
    expect(rig.stop()).toEqual([]);
  });

  it('ends when the universe comes back, and its sequence goes on', () => {
    const rig = new OutputRig(build(), [1]).start([eth]);
    rig.frames(500);
    rig.output.carry([], rig.clock.now());
    rig.frame();
    rig.output.carry([1], rig.clock.now());
    const back = only('data', rig.frames(100));
    expect(back.map((datagram) => read(datagram).options)).toEqual([0, 0, 0, 0]);
    expect(sequences(back)).toEqual([62, 63, 64, 65]);
    rig.output.carry([], rig.clock.now());
    rig.frames(10_000);
    rig.output.carry([1], rig.clock.now());
    expect(sequences(only('data', rig.frame()))).toEqual([69]);
  });
});

// E1.31-2018 sections 6.2.4.1, 6.3 and 11.
describe('synchronization', () => {
  it('puts the address into the data and sends one packet behind the data of a frame, to its group, with a sequence of its own', () => {
    const rig = new OutputRig(build({ sync: 7962 }), [1, 2]).start([eth]);
    const sent = rig.frames(50);
    expect(kinds(sent)).toEqual(['data', 'data', 'discovery', 'sync', 'data', 'data']);
    const synced = sent.filter((datagram) => read(datagram).kind !== 'discovery');
    expect(synced.map((datagram) => read(datagram).synchronizationAddress)).toEqual([7962, 7962, 7962, 7962, 7962]);
    // 7962 = 31 * 256 + 26; section 9.3.1.
    const syncs = only('sync', [...sent, ...rig.frames(100)]);
    expect(to(syncs[0] as SentDatagram)).toBe('239.255.31.26 by 192.0.2.10 5568');
    expect(sequences(syncs)).toEqual([0, 20, 40, 60]);
  });

  // Section 11.2.2 wants a delay and leaves open how long.
  it.each([
    [undefined, 2],
    [0, 0],
    [7, 7],
  ])('gives receivers time to take in the data: asked for %s ms, %s ms', (syncDelay, millis) => {
    const rig = new OutputRig(build({ sync: 9, syncDelay }), [1, 2]).start([eth]);
    const sent = rig.frames(100);
    const dataAt = only('data', sent).map(({ at }) => at);
    const syncAt = only('sync', sent).map(({ at }) => at);
    expect(syncAt.length).toBeGreaterThan(2);
    for (const at of syncAt) expect(dataAt).toContain(at - millis);
  });

  it('comes before the data of the next frame, however soon that one is', () => {
    const rig = new OutputRig(build({ sync: 9, syncDelay: 10 }), [1]).start([eth]);
    expect(kinds([...rig.stall(25), ...rig.stall(5), ...rig.stall(5)])).toEqual([
      'data',
      'discovery',
      'sync',
      'data',
      'sync',
      'data',
    ]);
  });

  it('lets receivers go on unsynchronized should its packets get lost (bit 5)', () => {
    const rig = new OutputRig(build({ sync: 7962 }), [1]).start([eth]);
    expect(only('data', rig.frame()).map((datagram) => read(datagram).options)).toEqual([0x20]);
  });

  it('is silent while nothing is sent, and never silent for 2.5 s', () => {
    const rig = new OutputRig(build({ sync: 9 }), [1, 2]).start([eth]);
    let lastSync = rig.clock.now();
    let withData = false;
    for (let frame = 0; frame < 2400; frame++) {
      const sent = rig.frame();
      expect(only('sync', sent)).toHaveLength(withData ? 1 : 0);
      withData = only('data', sent).length > 0;
      if (withData) lastSync = rig.clock.now();
      expect(rig.clock.now() - lastSync).toBeLessThan(2500);
    }
  });

  it('is multicast even when the data are not', () => {
    const rig = new OutputRig(build({ sync: 9, to: ['192.0.2.50'] }), [1]).start([eth]);
    expect(rig.frames(50).slice(0, 3).map(to)).toEqual([
      '192.0.2.50 5568',
      '239.255.250.214 by 192.0.2.10 5568',
      '239.255.0.9 by 192.0.2.10 5568',
    ]);
  });
});

// E1.31-2018 sections 8 and 12; section 9.3 for the group.
describe('universe discovery', () => {
  it('lists what is carried and the synchronization address, to its group, every ten seconds', () => {
    const rig = new OutputRig(build({ sync: 2 }), [1, 3, 40]).start([eth]);
    const sent = only('discovery', rig.frames(30_000));
    expect(sent.map((datagram) => read(datagram).listed)).toEqual(Array(3).fill([1, 2, 3, 40]));
    expect(new Set(sent.map(to))).toEqual(new Set(['239.255.250.214 by 192.0.2.10 5568']));
    const times = sent.map(({ at }) => at);
    expect(times.slice(1).map((at, i) => at - (times[i] ?? 0))).toEqual([10_000, 10_000]);
  });

  it('tells a change soon, and an end with an empty list', () => {
    const rig = new OutputRig(build(), [1, 2]).start([eth], [1]);
    rig.frames(3000);
    rig.output.carry([1, 2], rig.clock.now());
    expect(only('discovery', rig.frame()).map((datagram) => read(datagram).listed)).toEqual([[1, 2]]);
    rig.frames(10_000);
    rig.output.carry([], rig.clock.now());
    expect(only('discovery', rig.frames(60_000)).map((datagram) => read(datagram).listed)).toEqual([[]]);
  });

  it('goes to the IPv6 group where the output speaks IPv6', () => {
    const rig = new OutputRig(build({ family: 'IPv6' }), [1]).start([eth, eth6]);
    expect(rig.frame().map(to)).toEqual(['ff18::8300:1 by ::%eth0 5568', 'ff18::8300:fad6 by ::%eth0 5568']);
  });
});

describe('a link that goes and comes', () => {
  it('takes its socket with it, and everybody is told at once when it is back', () => {
    const rig = new OutputRig(build(), [1]).start([eth, wlan]);
    rig.frames(5000);
    rig.relink([wlan]);
    expect([...rig.network.open].map((socket) => socket.multicastInterface)).toEqual(['198.51.100.10']);
    const { dropped } = rig.output.report(rig.clock.now());
    const alone = only('data', rig.frames(1000));
    expect(new Set(alone.map(to))).toEqual(new Set(['239.255.0.1 by 198.51.100.10 5568']));
    const report = rig.output.report(rig.clock.now());
    expect(report).toMatchObject({ state: 'sending', towards: 'multicast on wlan0, eth0 (away)' });
    expect(report.dropped - dropped).toBe(alone.length);
    rig.relink([eth, wlan]);
    expect(only('data', rig.frame()).map(to).sort()).toEqual([
      '239.255.0.1 by 192.0.2.10 5568',
      '239.255.0.1 by 198.51.100.10 5568',
    ]);
    expect(rig.network.log).toEqual([
      'sACN output "main": no way out by eth0. Lights that are fed by it may hold their last levels or go dark until it is back.',
      'sACN output "main": every way out is there again.',
    ]);
  });

  it('leaves the sockets of other links as they are', () => {
    const rig = new OutputRig(build(), [1]).start([eth, wlan]);
    const [, kept] = rig.network.open;
    rig.relink([wlan]);
    rig.relink([eth, wlan]);
    expect(rig.network.open.has(kept as never)).toBe(true);
    expect(rig.network.open.size).toBe(2);
  });

  it('gets a new socket when it is back with another address', () => {
    const rig = new OutputRig(build(), [1]).start([eth]);
    rig.frames(5000);
    rig.relink([{ ...eth, address: '192.0.2.99' }]);
    expect(only('data', rig.frame()).map(to)).toEqual(['239.255.0.1 by 192.0.2.99 5568']);
    expect(rig.network.open.size).toBe(1);
  });

  it('was wanted by name and is not there at the start: nothing goes until it is', () => {
    const rig = new OutputRig(build({ interface: 'eth0' }), [1]).start([loopback, wlan]);
    expect(rig.frames(2000)).toEqual([]);
    const report = rig.output.report(rig.clock.now());
    expect(report).toMatchObject({ state: 'waiting', towards: 'multicast on eth0 (away)', packets: 0 });
    expect(report.dropped).toBeGreaterThan(4);
    rig.relink([loopback, wlan, eth]);
    expect(only('data', rig.frame())).toHaveLength(1);
  });
});

describe('unicast', () => {
  it('goes to every destination with the same octets, at its port', () => {
    const rig = new OutputRig(build({ to: ['192.0.2.50', '203.0.113.7:6000', '[2001:db8::50]:7000'] }), [1]).start([eth, eth6]);
    const sent = only('data', rig.frame());
    expect(sent.map(to)).toEqual(['192.0.2.50 5568', '203.0.113.7 6000', '2001:db8::50 7000']);
    expect(sent.map(({ socket }) => socket.family)).toEqual(['IPv4', 'IPv4', 'IPv6']);
    expect(new Set(sent.map(({ bytes }) => Buffer.from(bytes).toString('hex'))).size).toBe(1);
    expect(rig.packets).toBe(1);
  });

  it('drops what lies behind a link that has gone; the others go on', () => {
    const rig = new OutputRig(build({ to: ['192.0.2.50', '198.51.100.50'] }), [1]).start([eth, wlan]);
    rig.frames(5000);
    rig.relink([eth]);
    expect(new Set(only('data', rig.frames(3000)).map(to))).toEqual(new Set(['192.0.2.50 5568']));
    expect(rig.output.report(rig.clock.now())).toMatchObject({
      state: 'sending',
      towards: '192.0.2.50:5568, 198.51.100.50:5568 (away)',
    });
    rig.relink([eth, wlan]);
    expect(only('data', rig.frame()).map(to)).toEqual(['192.0.2.50 5568', '198.51.100.50 5568']);
  });

  it('reaches this computer itself without any link', () => {
    const rig = new OutputRig(build({ to: ['127.0.0.1:7001', '[::1]:7001'] }), [1]).start([]);
    expect(only('data', rig.frame()).map(to)).toEqual(['127.0.0.1 7001', '::1 7001']);
    expect(rig.output.report(rig.clock.now())).toMatchObject({ state: 'sending', towards: '127.0.0.1:7001, [::1]:7001' });
  });

  it('waits while the interface that it is to go by is away', () => {
    const rig = new OutputRig(build({ to: ['203.0.113.7'], interface: 'eth0' }), [1]).start([wlan]);
    expect(only('data', rig.frames(1000))).toEqual([]);
    expect(rig.output.report(rig.clock.now()).state).toBe('waiting');
    rig.relink([eth, wlan]);
    expect(only('data', rig.frame()).map(to)).toEqual(['203.0.113.7 5568']);
  });
});

// E1.31-2018 sections 6.2.5 and 6.2.6: one sequence a universe; who is to get no more is told by three packets with bit 6 set.
describe('other settings', () => {
  const started = (before: Record<string, unknown>, links = [eth, wlan, eth6]) => {
    const rig = new OutputRig(build(before), [1]).start(links);
    rig.frames(500);
    return rig;
  };
  const settle = (rig: OutputRig, after: Record<string, unknown>): void => {
    rig.output.settle(settings(after), rig.clock.now());
    rig.output.carry([1], rig.clock.now());
  };
  const told = (sent: readonly SentDatagram[]) =>
    only('data', sent).map((datagram) => `${to(datagram)} ${read(datagram).options === 0 ? read(datagram).sequence : 'ends'}`);

  it('of priority or synchronization are in the next packet, and its number is the next', () => {
    const rig = started({}, [eth]);
    settle(rig, { priority: 150, sync: 9 });
    const [first] = only('data', rig.frame());
    expect(first && read(first)).toMatchObject({ priority: 150, synchronizationAddress: 9, options: 0x20, sequence: 61 });
    const later = rig.frames(100);
    expect(sequences(only('data', later))).toEqual([62, 63, 64]);
    expect(only('sync', later).length).toBeGreaterThan(2);
    settle(rig, { priority: 150 });
    expect(only('sync', rig.frames(2000))).toEqual([]);
    expect(rig.network.log).toEqual([]);
  });

  it('open and close no socket but those that they are about', () => {
    const rig = started({});
    const before = [...rig.network.open];
    settle(rig, { priority: 150 });
    expect([...rig.network.open]).toEqual(before);
    settle(rig, { priority: 150, interface: 'wlan0' });
    rig.frame();
    expect([...rig.network.open]).toEqual(before.filter(({ multicastInterface }) => multicastInterface === wlan.address));
  });

  it('that leave a receiver out tell that one that it is over, and no other', () => {
    const rig = started({ to: ['192.0.2.50', '198.51.100.50'] });
    settle(rig, { to: ['198.51.100.50', '192.0.2.60'] });
    expect(told(rig.frame())).toEqual([
      '192.0.2.50 5568 ends',
      '192.0.2.50 5568 ends',
      '192.0.2.50 5568 ends',
      '198.51.100.50 5568 64',
      '192.0.2.60 5568 64',
    ]);
    expect(told(rig.frames(2000)).some((line) => line.startsWith('192.0.2.50'))).toBe(false);
  });

  it('from groups to receivers end the groups, and the other way round', () => {
    const rig = started({ interface: 'eth0' });
    settle(rig, { interface: 'eth0', to: ['192.0.2.50'] });
    const ends = Array(3).fill('239.255.0.1 by 192.0.2.10 5568 ends');
    expect(told(rig.frame())).toEqual([...ends, '192.0.2.50 5568 64']);
    settle(rig, { interface: 'eth0' });
    expect(told(rig.frame())).toEqual([...Array(3).fill('192.0.2.50 5568 ends'), '239.255.0.1 by 192.0.2.10 5568 68']);
  });

  it('to another interface or family end the groups there', () => {
    const rig = started({ interface: 'eth0' });
    settle(rig, { interface: 'wlan0' });
    expect(told(rig.frame())).toEqual([
      ...Array(3).fill('239.255.0.1 by 192.0.2.10 5568 ends'),
      '239.255.0.1 by 198.51.100.10 5568 64',
    ]);
    settle(rig, { interface: 'eth0', family: 'IPv6' });
    expect(told(rig.frame())).toEqual([
      ...Array(3).fill('239.255.0.1 by 198.51.100.10 5568 ends'),
      'ff18::8300:1 by ::%eth0 5568 68',
    ]);
    expect(rig.network.open.size).toBe(1);
  });

  it('of universes end those that are left out, where they were sent to', () => {
    const rig = new OutputRig(build({ to: ['192.0.2.50'] }), [1, 2]).start([eth]);
    rig.frames(500);
    rig.output.settle(settings({ to: ['192.0.2.50'], universes: [2] }), rig.clock.now());
    rig.output.carry([2], rig.clock.now());
    const mine = only('data', rig.frames(500)).filter((datagram) => read(datagram).universe === 1);
    expect(mine.map((datagram) => read(datagram).options)).toEqual([0x40, 0x40, 0x40]);
  });

  it('change nothing after the end', () => {
    const rig = started({});
    rig.stop();
    settle(rig, { to: ['192.0.2.50'] });
    expect(rig.frames(2000)).toEqual([]);
    expect(rig.network.open.size).toBe(0);
  });
});

import { beforeEach, describe, expect, it } from 'vitest';
import { Listening, MOST_UNIVERSES } from '../../node/monitor/listening.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { link, loopback, RecordingUdp } from '../helpers/recording-udp.ts';

const eth = link('eth0', '192.0.2.10');
const eth6 = link('eth0', '2001:db8::10');
const wlan = link('wlan0', '198.51.100.10', { mac: '02:00:00:00:00:02' });
const everywhere = [undefined];

let network: RecordingUdp;
let heard: string[];
let listening: Listening;
beforeEach(() => {
  network = new RecordingUdp(new FakeClock());
  heard = [];
  listening = new Listening(network.host.openUdp, {
    onMessage: (_, from) => heard.push(from.address),
    onArtnet: (_, from) => heard.push(`Art-Net ${from.address}`),
    onError: (code) => heard.push(code),
  });
});

/** Every membership that is held, as `interface group`. */
const joined = (): string[] =>
  [...network.open]
    .flatMap(({ groups = [], multicastInterface }) => groups.map((group) => `${multicastInterface} ${group}`))
    .sort();
const ears = () => [...network.open].filter(({ port }) => port === 5568);

describe('the groups', () => {
  // E1.31-2018 section 9.3: 239.255 and the universe; FF18::8300 and the universe.
  it('of our universes are joined by every interface that is up, in both families', () => {
    listening.relink([loopback, eth, eth6, wlan]);
    listening.watch({ universes: [1, 300], interfaces: everywhere, artnet: false });
    expect(joined()).toEqual([
      '192.0.2.10 239.255.0.1',
      '192.0.2.10 239.255.1.44',
      '198.51.100.10 239.255.0.1',
      '198.51.100.10 239.255.1.44',
      '::%eth0 ff18::8300:1',
      '::%eth0 ff18::8300:12c',
    ]);
  });

  it('are joined by the interfaces that we send by, where these are chosen', () => {
    listening.relink([loopback, eth, eth6, wlan]);
    listening.watch({ universes: [1], interfaces: ['wlan0', '192.0.2.10'], artnet: false });
    expect(joined()).toEqual(['192.0.2.10 239.255.0.1', '198.51.100.10 239.255.0.1', '::%eth0 ff18::8300:1']);
    listening.watch({ universes: [1], interfaces: ['lo'], artnet: false });
    expect(joined()).toEqual(['127.0.0.1 239.255.0.1']);
  });

  // Linux, igmp_max_memberships: 20 a socket.
  it('are spread over sockets of 20 each, and bounded', () => {
    listening.relink([eth]);
    listening.watch({ universes: Array.from({ length: 41 }, (_, i) => i + 1), interfaces: everywhere, artnet: false });
    const sizes = () => [...network.open].map(({ groups = [] }) => groups.length).filter((size) => size > 0);
    expect(sizes()).toEqual([20, 20, 1]);
    listening.watch({ universes: Array.from({ length: 5000 }, (_, i) => i + 1), interfaces: everywhere, artnet: false });
    expect(joined()).toHaveLength(MOST_UNIVERSES);
    expect(Math.max(...sizes())).toBe(20);
  });

  it('are left with the universe, the interface, or all', () => {
    listening.relink([eth, wlan]);
    listening.watch({ universes: [1, 2], interfaces: everywhere, artnet: false });
    listening.relink([eth]);
    listening.watch({ universes: [2], interfaces: everywhere, artnet: false });
    expect(joined()).toEqual(['192.0.2.10 239.255.0.2']);
    listening.close();
    expect(network.open.size).toBe(0);
  });
});

describe('the sockets', () => {
  it('hear by one a family, on port 5568 and without memberships of its own', () => {
    listening.relink([eth, eth6, wlan]);
    listening.watch({ universes: [1, 2, 3], interfaces: everywhere, artnet: false });
    expect(ears().map(({ family, groups }) => ({ family, groups }))).toEqual([{ family: 'IPv4' }, { family: 'IPv6' }]);
    network.receive(new Uint8Array(1), { address: '192.0.2.7', port: 5568 }, 5568);
    expect(heard).toEqual(['192.0.2.7', '192.0.2.7']);
  });

  it('stay while nothing of theirs changes', () => {
    listening.relink([eth, wlan]);
    listening.watch({ universes: [1], interfaces: everywhere, artnet: false });
    const before = [...network.open];
    listening.relink([eth]);
    listening.watch({ universes: [1], interfaces: everywhere, artnet: false });
    listening.relink([eth]);
    expect([...network.open]).toEqual(before.filter(({ multicastInterface }) => multicastInterface !== wlan.address));
  });

  it('are made anew when an interface comes back as another', () => {
    const six = link('eth0', '2001:db8::10', { scope: 2 });
    for (const [was, is] of [
      [eth, { ...eth, address: '192.0.2.11' }],
      [eth, { ...eth, mac: '02:00:00:00:00:99' }],
      [six, { ...six, scope: 7 }],
    ] as const) {
      listening.relink([was]);
      listening.watch({ universes: [1], interfaces: everywhere, artnet: false });
      const holder = () => [...network.open].find(({ groups }) => groups !== undefined);
      const before = holder();
      listening.relink([is]);
      expect(holder()).not.toBe(before);
      expect(joined()).toHaveLength(1);
    }
  });

  it('are none while there is nothing to listen to', () => {
    listening.relink([eth]);
    listening.watch({ universes: [], interfaces: everywhere, artnet: false });
    listening.watch({ universes: [1], interfaces: [], artnet: false });
    expect(network.open.size).toBe(0);
  });
});

describe('Art-Net', () => {
  const artnet = () => [...network.open].filter(({ port }) => port === 6454);

  it('is heard only while it is asked for: another socket on its port would take answers away from an output', () => {
    const watch = { universes: [1], interfaces: everywhere };
    listening.relink([eth]);
    listening.watch({ ...watch, artnet: false });
    expect(artnet()).toEqual([]);
    listening.watch({ ...watch, artnet: true });
    listening.watch({ ...watch, artnet: true });
    expect(artnet()).toHaveLength(1);
    listening.watch({ ...watch, artnet: false });
    expect(artnet()).toEqual([]);
    listening.watch({ ...watch, artnet: true });
    listening.close();
    expect(artnet()).toEqual([]);
  });
});

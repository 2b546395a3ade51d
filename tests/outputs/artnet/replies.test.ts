import { describe, expect, it } from 'vitest';
import type { OutputRig } from '../../helpers/output-rig.ts';
import { link } from '../../helpers/recording-udp.ts';
import { ARTNET_PORT, dmx, from, isReply, nodeReply, poll, rigWith } from './by-hand.ts';

const eth = link('eth0', '192.0.2.10', { mac: '02:00:5e:10:00:01' });
const wlan = link('wlan0', '198.51.100.10', { mac: '02:00:5e:10:00:02' });
const asker = '192.0.2.99';

const ask = (rig: OutputRig, bytes: Uint8Array = poll(), address = asker): void =>
  rig.network.receive(bytes, from(address), ARTNET_PORT);
const replies = (rig: OutputRig, millis = 1100) => rig.frames(millis).filter(isReply);
/** Bits of the Port-Address that a reply's first input port stands for: NetSwitch 18, SubSwitch 19, SwIn 186. */
const inputOf = ({ bytes }: { bytes: Uint8Array }): number => ((bytes[18] ?? 0) << 8) | ((bytes[19] ?? 0) << 4) | (bytes[186] ?? 0);

describe('our ArtPollReply', () => {
  it('is right in every octet', () => {
    const rig = rigWith({}, [0x1234]).start([eth]);
    ask(rig);
    const [reply] = replies(rig);
    expect(reply).toMatchObject({ address: asker, port: 6454 });
    // Art-Net 4, packet definition of ArtPollReply.
    const expected = Buffer.alloc(239);
    expected.write('Art-Net\0', 0, 'latin1');
    expected.set([0x00, 0x21], 8);
    expected.set([192, 0, 2, 10], 10);
    expected.set([0x36, 0x19], 14);
    expected.set([0x01, 0x02], 16);
    expected.set([0x12, 0x03], 18);
    expected.set([0x00, 0xff], 20);
    expected.set([0xf0, 0x7f], 24);
    expected.write('Tent', 26, 'latin1');
    expected.write('Tent', 44, 'latin1');
    expected.write('#0001 [0000] feeds Port-Address 4660', 108, 'latin1');
    expected[173] = 1;
    // Bit 6: feeds DMX512 into Art-Net; GoodInput bit 7: data are there; SwIn: the low nibble.
    expected[174] = 0x40;
    expected[178] = 0x80;
    expected[186] = 0x04;
    // StController.
    expected[200] = 1;
    expected.set([0x02, 0x00, 0x5e, 0x10, 0x00, 0x01], 201);
    expected.set([192, 0, 2, 10], 207);
    expected[211] = 1;
    // Bit 3: 15-bit Port-Addresses.
    expected[212] = 0x08;
    expect(Buffer.from(reply?.bytes ?? []).toString('hex')).toBe(expected.toString('hex'));
  });

  it('comes once for each universe, told apart by BindIndex, and counts itself', () => {
    const rig = rigWith({ portAddresses: { 3: 0x0150 } }, [1, 2, 3]).start([eth]);
    ask(rig);
    const sent = replies(rig);
    expect(sent.map(inputOf)).toEqual([1, 2, 0x150]);
    expect(sent.map(({ bytes }) => bytes[211])).toEqual([1, 2, 3]);
    expect(sent.map(({ bytes }) => Buffer.from(bytes.subarray(108, 120)).toString('latin1'))).toEqual([
      '#0001 [0000]',
      '#0001 [0001]',
      '#0001 [0002]',
    ]);
  });

  it('comes without a port when there is no universe', () => {
    const rig = rigWith({}, []).start([eth]);
    ask(rig);
    const sent = replies(rig);
    expect(sent).toHaveLength(1);
    // NumPorts 172..173, PortTypes 174..177, BindIndex 211.
    expect([...(sent[0]?.bytes.subarray(172, 178) ?? [])]).toEqual([0, 0, 0, 0, 0, 0]);
    expect(sent[0]?.bytes[211]).toBe(1);
  });

  it('announces 255 universes at most', () => {
    const rig = rigWith(
      {},
      Array.from({ length: 300 }, (_, i) => i + 1),
    ).start([eth]);
    ask(rig);
    const sent = replies(rig, 2000);
    expect(sent.map(inputOf)).toEqual(Array.from({ length: 255 }, (_, i) => i + 1));
    expect(sent.at(-1)?.bytes[211]).toBe(255);
  });

  it('bears the address and card of the link that faces the asker', () => {
    const rig = rigWith({}, [1]).start([eth, wlan]);
    ask(rig, poll(), '198.51.100.7');
    const [reply] = replies(rig);
    expect([...(reply?.bytes.subarray(10, 14) ?? [])]).toEqual([198, 51, 100, 10]);
    expect([...(reply?.bytes.subarray(201, 211) ?? [])]).toEqual([0x02, 0, 0x5e, 0x10, 0, 0x02, 198, 51, 100, 10]);
  });

  // Art-Net 4: after a random delay of up to 1 s.
  it.each([
    [0, 0, 25],
    [0.5, 500, 525],
    [0.999, 999, 1025],
  ])('waits as chance says (%f), up to a second', (chance, earliest, latest) => {
    const rig = rigWith({}, [1], () => chance).start([eth]);
    rig.frame();
    const asked = rig.clock.now();
    ask(rig);
    const [reply] = replies(rig);
    expect((reply?.at ?? 0) - asked).toBeGreaterThanOrEqual(earliest);
    expect((reply?.at ?? 0) - asked).toBeLessThanOrEqual(latest);
  });

  it('answers targeted mode for the ports inside the range, ends included, and else not at all', () => {
    const rig = rigWith({}, [1, 2, 3, 4]).start([eth]);
    ask(rig, poll(0x20, 2, 3));
    expect(replies(rig).map(inputOf)).toEqual([2, 3]);
    ask(rig, poll(0x20, 5, 99));
    expect(replies(rig)).toEqual([]);
    ask(rig, poll(0x20, 3, 2));
    expect(replies(rig)).toEqual([]);
    // Without the flag the range does not count.
    ask(rig, poll(0x00, 2, 3));
    expect(replies(rig)).toHaveLength(4);
  });

  it('answers two polls that come close together by one set, for the ports of both', () => {
    const rig = rigWith({}, [1, 2, 3, 4]).start([eth]);
    ask(rig, poll(0x20, 2, 2));
    ask(rig, poll(0x20, 3, 3));
    expect(replies(rig, 3000).map(inputOf)).toEqual([2, 3]);
    ask(rig, poll(0x20, 2, 2));
    ask(rig);
    ask(rig, poll(0x20, 3, 3));
    expect(replies(rig, 3000).map(inputOf)).toEqual([1, 2, 3, 4]);
  });

  it('is not sent any more by a link that has gone', () => {
    const rig = rigWith({}, [1]).start([eth, wlan]);
    ask(rig);
    rig.relink([wlan]);
    expect(replies(rig, 3000)).toEqual([]);
    rig.relink([wlan, link('eth0', '192.0.2.11')]);
    ask(rig);
    expect([...(replies(rig)[0]?.bytes.subarray(10, 14) ?? [])]).toEqual([192, 0, 2, 11]);
  });

  it('answers the older, shorter ArtPoll', () => {
    const rig = rigWith({}, [1]).start([eth]);
    ask(rig, poll(0, 0, 0, 14));
    expect(replies(rig)).toHaveLength(1);
  });

  it('answers its own poll like any other, and does not take the answer for a node', () => {
    const rig = rigWith({}, [1]).start([eth]);
    ask(rig, poll(), eth.address);
    const sent = replies(rig);
    expect(sent.map(({ address }) => address)).toEqual([eth.address]);
    for (const { bytes } of sent) rig.network.receive(bytes, from(eth.address), ARTNET_PORT);
    rig.frame();
    expect(rig.output.report(rig.clock.now()).nodes).toEqual([]);
    // A node program on this very machine is one, though.
    rig.network.receive(nodeReply({ outputs: [1] }), from(eth.address), ARTNET_PORT);
    expect(dmx(rig.frame()).map(({ to }) => to)).toEqual([eth.address]);
  });

  it('tells a change to those who asked for that, while they go on polling', () => {
    const rig = rigWith().start([eth]);
    ask(rig, poll(0x02), '192.0.2.98');
    ask(rig, poll(0x00), '192.0.2.99');
    expect(replies(rig)).toHaveLength(4);
    rig.output.carry([2], rig.clock.now());
    expect(replies(rig, 2500).map((sent) => [sent.address, inputOf(sent)])).toEqual([['192.0.2.98', 2]]);
    rig.output.carry([2], rig.clock.now());
    expect(replies(rig, 2500)).toEqual([]);
    rig.frames(10_000);
    rig.output.carry([1], rig.clock.now());
    expect(replies(rig, 2500)).toEqual([]);
  });

  it('is not given to strangers from outside the chosen subnets', () => {
    const rig = rigWith({ interface: 'eth0' }, [1]).start([eth, wlan]);
    ask(rig, poll(), '198.51.100.7');
    ask(rig, poll(), '203.0.113.7');
    ask(rig, poll(), 'nonsense');
    expect(replies(rig)).toEqual([]);
  });
});

// 100,000 datagrams each; the time is for a machine that is busy otherwise.
describe('a flood of polls', { timeout: 30_000 }, () => {
  it('from one asker gets one set of replies a second', () => {
    const rig = rigWith({}, [1, 2], () => 0).start([eth]);
    let sent = 0;
    for (let i = 0; i < 400; i++) {
      for (let k = 0; k < 250; k++) ask(rig);
      sent += rig.frame().filter(isReply).length;
    }
    // 100,000 polls within 10 s: ten sets of two, and one more for the beginning.
    expect(sent).toBeGreaterThanOrEqual(2 * 9);
    expect(sent).toBeLessThanOrEqual(2 * 11);
  });

  it('from forged addresses stays bounded in askers and in replies', () => {
    const rig = rigWith({}, [1, 2], () => 0).start([link('eth0', '10.0.0.1', { netmask: '255.0.0.0' })]);
    const bytes = poll();
    for (let i = 0; i < 100_000; i++) rig.network.receive(bytes, from(`10.${i >> 16}.${(i >> 8) & 0xff}.${i & 0xff}`), ARTNET_PORT);
    expect(rig.frame().filter(isReply)).toHaveLength(32);
    const rest = rig.frames(5000).filter(isReply);
    expect(32 + rest.length).toBe(64 * 2);
    // And afterwards there is room for an honest one.
    ask(rig, poll(), '10.9.9.9');
    expect(replies(rig).map(({ address }) => address)).toEqual(['10.9.9.9', '10.9.9.9']);
  });
});

import { describe, expect, it } from 'vitest';
import type { OutputRig } from '../../helpers/output-rig.ts';
import { link } from '../../helpers/recording-udp.ts';
import { ARTNET_PORT, dmx, from, nodeReply, plugIn, rigWith } from './by-hand.ts';

/** A flat network, as at a venue: everybody is in one subnet. */
const flat = link('eth0', '10.0.0.1', { netmask: '255.0.0.0' });
const started = (universes = [1]): OutputRig => rigWith({}, universes).start([flat]);

/** Half an hour before the doors: so many replies a second that nobody asked for, `next` gives each, while the engine goes on. */
function flood(rig: OutputRig, seconds: number, perSecond: number, next: (i: number) => readonly [string, Uint8Array]): string[] {
  const reached: string[] = [];
  let sent = 0;
  for (let frame = 1; frame <= seconds * 40; frame++) {
    for (; sent < (frame * perSecond) / 40; sent++) {
      const [address, reply] = next(sent);
      rig.network.receive(reply, from(address), ARTNET_PORT);
    }
    rig.set(1, 1, frame & 0xff);
    reached.push(...dmx(rig.frame()).map(({ to }) => to));
  }
  return reached;
}

describe('one address that answers for hundreds of ports', () => {
  const everyPort = (i: number): readonly [string, Uint8Array] => [
    '10.6.6.6',
    nodeReply({ bindIndex: 1 + (i % 255), net: (i >> 8) & 0x7f, sub: 1, outputs: [i & 15] }),
  ];

  it('leaves room for an honest node, and it is told', () => {
    const rig = started();
    flood(rig, 10, 330, everyPort);
    plugIn(rig, '10.1.1.1', nodeReply({ outputs: [1] }));
    expect(flood(rig, 4, 330, everyPort)).toContain('10.1.1.1');
    const { nodes = [] } = rig.output.report(rig.clock.now());
    expect(nodes.filter(({ address }) => address === '10.6.6.6')).toHaveLength(128);
    const told = rig.network.log.filter((line) => line.includes('10.6.6.6'));
    expect(told[0]).toBe('Art-Net output "main": 10.6.6.6 answers for more than 128 ports; the others get nothing.');
    expect(told.length).toBeLessThanOrEqual(4);
  });

  it('keeps its places for itself: what it stops answering for makes room for more of its own', () => {
    const rig = started();
    flood(rig, 3, 330, everyPort);
    rig.frames(15_000);
    expect(rig.output.report(rig.clock.now()).nodes).toEqual([]);
    flood(rig, 3, 330, everyPort);
    expect(rig.output.report(rig.clock.now()).nodes).toHaveLength(128);
  });
});

describe('hundreds of forged addresses', () => {
  const forged = (i: number): readonly [string, Uint8Array] => [`10.2.${(i >> 8) & 0xff}.${i & 0xff}`, nodeReply({ outputs: [9] })];

  it('do not keep an honest node out for long, nor take its place once it has answered twice', () => {
    const rig = started();
    flood(rig, 10, 330, forged);
    plugIn(rig, '10.1.1.1', nodeReply({ outputs: [1] }));
    flood(rig, 10, 330, forged);
    const reached = flood(rig, 30, 330, forged);
    // 1200 frames, all of them different.
    expect(reached.filter((to) => to === '10.1.1.1').length).toBeGreaterThan(1150);
    expect(rig.output.report(rig.clock.now()).nodes?.length).toBeLessThanOrEqual(512);
    const told = rig.network.log.filter((line) => line.includes('can be remembered'));
    expect(told[0]).toBe(
      'Art-Net output "main": more ports answer than can be remembered; those that answer every poll come first.',
    );
  });

  it('that nobody asked make way for each other, the oldest first', () => {
    const rig = started();
    // Two seconds after a poll the time for answers is over, and the next poll half a second away.
    rig.frames(2000);
    for (let i = 0; i < 600; i++) rig.network.receive(forged(i)[1], from(forged(i)[0]), ARTNET_PORT);
    const { nodes = [] } = rig.output.report(rig.clock.now());
    expect(nodes).toHaveLength(512);
    expect(nodes.at(-1)?.address).toBe(forged(599)[0]);
    expect(nodes.some(({ address }) => address === forged(0)[0])).toBe(false);
  });
});

describe('more nodes on a Port-Address than may have it', () => {
  const many = (rig: OutputRig, count: number): void => {
    for (let i = 1; i <= count; i++) plugIn(rig, `10.3.0.${i}`, nodeReply({ outputs: [1] }));
  };

  it('are told of, once, in the log and in the report', () => {
    const rig = started([1, 2]);
    many(rig, 33);
    expect(new Set(dmx(rig.frames(200)).map(({ to }) => to)).size).toBe(32);
    expect(rig.output.report(rig.clock.now()).towards).toContain('; more than 32 nodes ask for universe 1');
    rig.frames(10_000);
    expect(rig.network.log.filter((line) => line.includes('ask for'))).toEqual([
      'Art-Net output "main": more than 32 nodes ask for universe 1; the others get nothing.',
    ]);
  });

  it('go before those that have answered less', () => {
    const rig = started();
    many(rig, 20);
    rig.frames(8000);
    const forged = nodeReply({ outputs: [1] });
    for (let i = 0; i < 100; i++) rig.network.receive(forged, from(`10.4.0.${i}`), ARTNET_PORT);
    many(rig, 32);
    rig.frames(8000);
    rig.set(1, 1, 9);
    const reached = dmx(rig.frame()).map(({ to }) => to);
    expect(reached).toHaveLength(32);
    expect(reached.every((to) => to.startsWith('10.3.'))).toBe(true);
  });
});

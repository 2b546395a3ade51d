import { describe, expect, it } from 'vitest';
import { artnetSettings } from '../../../node/core/output-settings.ts';
import type { OutputHost } from '../../../node/core/ports.ts';
import { ArtnetOutput } from '../../../node/outputs/artnet/output.ts';
import { describeOutput } from '../../helpers/output-suite.ts';
import { link } from '../../helpers/recording-udp.ts';
import { type DmxRead, dmx, isDmx, isPoll, isSync, nodeReply, opCodeOf, plugIn, rigWith } from './by-hand.ts';

const eth = link('eth0', '192.0.2.10');
const wlan = link('wlan0', '198.51.100.10');

const build = (settings: Record<string, unknown>) => (host: OutputHost) =>
  new ArtnetOutput({
    settings: artnetSettings.parse({ id: 'main', protocol: 'artnet', ...settings }),
    nodeName: 'Tent',
    firmwareVersion: 1,
    host,
  });

// Art-Net 4, packet definition of ArtDmx: OpCode 0x5000 low byte first at 8, SubUni at 14, Net at 15, slots from 18.
const read = (bytes: Uint8Array) =>
  opCodeOf(bytes) === 0x5000 ? { universe: ((bytes[15] ?? 0) << 8) | (bytes[14] ?? 0), slots: bytes.subarray(18) } : undefined;

describeOutput({
  name: 'Art-Net to subscribers',
  build: build({}),
  links: [eth],
  destinations: () => ['192.0.2.50', '192.0.2.51'],
  read,
  prepare: (rig) => {
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1, 2] }));
    plugIn(rig, '192.0.2.51', nodeReply({ outputs: [1], bindIndex: 1 }), nodeReply({ outputs: [2], bindIndex: 2 }));
  },
});

describeOutput({
  name: 'Art-Net to given addresses',
  build: build({ to: ['192.0.2.60', '192.0.2.61:7000'], sync: true }),
  links: [eth],
  destinations: () => ['192.0.2.60', '192.0.2.61'],
  read,
});

describe('ArtDmx', () => {
  it('leaves from port 6454 to port 6454, whole, by one IPv4 socket that may broadcast', () => {
    const rig = rigWith().start([eth]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1] }));
    rig.set(1, 1, 7);
    rig.set(1, 512, 9);
    const sent = rig.frame().filter(isDmx);
    expect(sent).toHaveLength(1);
    expect(sent[0]).toMatchObject({ address: '192.0.2.50', port: 6454, socket: { family: 'IPv4', port: 6454, broadcast: true } });
    const expected = Buffer.alloc(530);
    expected.write('4172742d4e657400' + '0050' + '000e' + '01' + '00' + '01' + '00' + '0200' + '07', 'hex');
    expected[529] = 9;
    expect(Buffer.from(sent[0]?.bytes ?? []).toString('hex')).toBe(expected.toString('hex'));
    expect(rig.network.open.size).toBe(1);
  });

  // Art-Net 4: 1 to 255, then 1 again; counted for each Port-Address.
  it('is numbered 1 to 255 and then 1 again, by Port-Address, the same for all who get it', () => {
    const rig = rigWith().start([eth]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1, 2] }));
    plugIn(rig, '192.0.2.51', nodeReply({ outputs: [1] }));
    const sent: DmxRead[] = [];
    for (let i = 0; i < 600; i++) {
      rig.set(1, 1, i & 0xff);
      sent.push(...dmx(rig.frame()));
    }
    const numbers = (to: string, portAddress: number) =>
      sent.filter((packet) => packet.to === to && packet.portAddress === portAddress).map(({ sequence }) => sequence);
    // The first are 86 apart, see the tests of sequences.
    const expected = [1, 87, 173, ...Array.from({ length: 597 }, (_, i) => ((i + 3) % 255) + 1)];
    expect(numbers('192.0.2.50', 1)).toEqual(expected);
    expect(numbers('192.0.2.51', 1)).toEqual(expected);
    const quiet = numbers('192.0.2.50', 2);
    expect(quiet).toEqual(expected.slice(0, quiet.length));
    expect(quiet.length).toBeGreaterThan(4);
    expect(quiet.length).toBeLessThan(40);
  });

  it('goes on counting when a universe has been away', () => {
    const rig = rigWith().start([eth]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1, 2] }));
    const last =
      dmx(rig.frames(1000))
        .filter(({ portAddress }) => portAddress === 1)
        .at(-1)?.sequence ?? 0;
    rig.output.carry([2], rig.clock.now());
    expect(dmx(rig.frames(2000)).every(({ portAddress }) => portAddress === 2)).toBe(true);
    rig.output.carry([1, 2], rig.clock.now());
    expect(dmx(rig.frame()).find(({ portAddress }) => portAddress === 1)?.sequence).toBe(last + 1);
  });

  it('bears the Port-Address that the settings give, or else the number of the universe', () => {
    const rig = rigWith({ portAddresses: { 2: 0x7fff, 3: 0 } }, [1, 2, 3, 300]).start([eth]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1, 0] }));
    plugIn(
      rig,
      '192.0.2.51',
      nodeReply({ net: 0x7f, sub: 0xf, outputs: [0xf] }),
      nodeReply({ bindIndex: 2, net: 1, sub: 2, outputs: [0xc] }),
    );
    // 300 is 0x012c: Net 1, Sub-Net 2, Universe 12.
    const sent = dmx(rig.frame()).map(({ to, portAddress }) => [to, portAddress]);
    expect(sent).toEqual([
      ['192.0.2.50', 1],
      ['192.0.2.51', 32767],
      ['192.0.2.50', 0],
      ['192.0.2.51', 300],
    ]);
  });

  it('is not sent for a universe without a Port-Address, nor for two on one; both are reported', () => {
    const rig = rigWith({ to: ['192.0.2.60'], portAddresses: { 5: 1 } }, [1, 5, 32767, 32768]).start([eth]);
    expect(dmx(rig.frame()).map(({ portAddress }) => portAddress)).toEqual([1, 32767]);
    const report = rig.output.report(rig.clock.now());
    expect(report.universes.map(({ universe, packets }) => [universe, packets])).toEqual([
      [1, 1],
      [5, 0],
      [32767, 1],
      [32768, 0],
    ]);
    expect(report.towards).toBe(
      '192.0.2.60:6454; universe 5 has the Port-Address 1 of universe 1; universe 32768 has no Port-Address (the highest is 32767)',
    );
    expect(rig.network.log.filter((line) => line.endsWith('and is not sent.'))).toHaveLength(2);
    rig.output.carry([1, 5, 32767, 32768], rig.clock.now());
    expect(rig.network.log.filter((line) => line.endsWith('and is not sent.'))).toHaveLength(2);
  });

  it('goes to given addresses without being asked for, to the port that they name', () => {
    const eth6 = link('eth0', '2001:db8::10', { scope: 2 });
    const rig = rigWith({ to: ['192.0.2.60', '192.0.2.61:7000'] }, [1]).start([eth, eth6]);
    expect(dmx(rig.frame()).map(({ to, port }) => [to, port])).toEqual([
      ['192.0.2.60', 6454],
      ['192.0.2.61', 7000],
    ]);
    expect(rig.output.report(rig.clock.now()).towards).toBe('192.0.2.60:6454, 192.0.2.61:7000');
    // Art-Net 4 is a protocol over IPv4.
    expect(artnetSettings.safeParse({ id: 'main', protocol: 'artnet', to: ['2001:db8::1'] }).success).toBe(false);
    expect(artnetSettings.safeParse({ id: 'main', protocol: 'artnet', to: ['[2001:db8::1]:6454'] }).success).toBe(false);
  });
});

describe('ArtSync', () => {
  it('is broadcast into every subnet behind the last ArtDmx of a frame, and only then', () => {
    const rig = rigWith({ sync: true }).start([eth, wlan]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1, 2] }));
    let frames = 0;
    for (let i = 0; i < 400; i++) {
      if (i % 50 === 0) rig.set(1, 1, i & 0xff);
      const sent = rig.frame().filter((datagram) => !isPoll(datagram));
      const data = sent.filter(isDmx).length;
      if (data > 0) frames++;
      expect(sent.slice(0, data).every(isDmx)).toBe(true);
      expect(sent.slice(data).map(({ address, port, bytes }) => [opCodeOf(bytes), address, port])).toEqual(
        data === 0
          ? []
          : [
              [0x5200, '192.0.2.255', 6454],
              [0x5200, '198.51.100.255', 6454],
            ],
      );
    }
    expect(frames).toBeGreaterThan(30);
    expect(frames).toBeLessThan(200);
  });

  // Art-Net 4: a node leaves its synchronous mode after 4 s without ArtSync.
  it('comes often enough to keep nodes synchronous while nothing changes', () => {
    const rig = rigWith({ sync: true }, [1]).start([eth]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1] }));
    const times = rig
      .frames(60_000)
      .filter(isSync)
      .map(({ at }) => at);
    for (const [i, at] of times.slice(1).entries()) expect(at - (times[i] ?? 0)).toBeLessThan(4000);
    expect(rig.clock.now() - (times.at(-1) ?? 0)).toBeLessThan(4000);
  });

  it('is not sent unless asked for', () => {
    const rig = rigWith().start([eth]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1] }));
    expect(rig.frames(5000).filter(isSync)).toEqual([]);
  });
});

describe('other settings', () => {
  const settings = (rest: Record<string, unknown>) => artnetSettings.parse({ id: 'main', protocol: 'artnet', ...rest });

  it('keep the nodes, the socket and the number of each Port-Address', () => {
    const rig = rigWith({}, [1]).start([eth]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1, 7] }));
    const [socket] = rig.network.open;
    const last = dmx(rig.frames(2000)).at(-1)?.sequence ?? 0;
    rig.output.settle(settings({ sync: true }), rig.clock.now());
    rig.output.carry([1], rig.clock.now());
    const next = dmx(rig.frames(2000));
    expect(next[0]).toMatchObject({ to: '192.0.2.50', portAddress: 1, sequence: last + 1 });
    expect([...rig.network.open]).toEqual([socket]);

    rig.output.settle(settings({ portAddresses: { 1: 7 } }), rig.clock.now());
    rig.output.carry([1], rig.clock.now());
    expect(dmx(rig.frame())).toMatchObject([{ portAddress: 7, sequence: 1 }]);
    rig.output.settle(settings({}), rig.clock.now());
    rig.output.carry([1], rig.clock.now());
    expect(dmx(rig.frame())).toMatchObject([{ portAddress: 1, sequence: (next.at(-1)?.sequence ?? 0) + 1 }]);
  });

  it('send to addresses that are given from now on, and to subscribers again', () => {
    const rig = rigWith({}, [1]).start([eth]);
    plugIn(rig, '192.0.2.50', nodeReply({ outputs: [1] }));
    rig.frames(1000);
    rig.output.settle(settings({ to: ['192.0.2.60'] }), rig.clock.now());
    rig.output.carry([1], rig.clock.now());
    expect(dmx(rig.frame()).map(({ to }) => to)).toEqual(['192.0.2.60']);
    rig.output.settle(settings({}), rig.clock.now());
    rig.output.carry([1], rig.clock.now());
    expect(dmx(rig.frame()).map(({ to }) => to)).toEqual(['192.0.2.50']);
  });

  it('poll by another interface at once', () => {
    const rig = rigWith({ interface: 'eth0' }, [1]).start([eth, wlan]);
    rig.frames(500);
    rig.output.settle(settings({ interface: 'wlan0' }), rig.clock.now());
    rig.output.carry([1], rig.clock.now());
    expect(
      rig
        .frame()
        .filter(isPoll)
        .map(({ address }) => address),
    ).toEqual(['198.51.100.255']);
  });
});

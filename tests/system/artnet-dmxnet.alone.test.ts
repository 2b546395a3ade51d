import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { setTimeout as rest } from 'node:timers/promises';
import dmxlib from 'dmxnet';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Levels } from '../../node/core/levels.ts';
import { artnetSettings } from '../../node/core/output-settings.ts';
import { ArtnetOutput } from '../../node/outputs/artnet/output.ts';
import { type ArtnetPacket, parseArtnet } from '../../node/outputs/artnet/parse.ts';
import { KernelNeighbourhood } from '../../node/system/neighbours.ts';
import { openUdp } from '../../node/system/udp.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { loopback } from '../helpers/recording-udp.ts';

/**
 * dmxnet 0.9, a library of its own making, as the peer on the loopback: what each of the two sends, the other reads. It answers polls (by
 * broadcast, in the older form, its port byte-swapped), receives and sends ArtDmx; it neither polls nor reads replies nor knows ArtSync.
 */
const UNIVERSE = 0x0123;
const clock = new FakeClock();
const levels = new Levels([UNIVERSE]);
const log: string[] = [];
const output = new ArtnetOutput({
  settings: artnetSettings.parse({ id: 'main', protocol: 'artnet', interface: 'lo' }),
  nodeName: 'Tent',
  firmwareVersion: 1,
  host: { openUdp, neighbourhood: new KernelNeighbourhood(), random: () => 0.5, log: (line) => log.push(line) },
});
/** Everything that is broadcast on the loopback, and what comes to a port of its own. */
const tap = createSocket({ type: 'udp4', reuseAddr: true });
const heard: { bytes: Buffer; packet: ArtnetPacket }[] = [];
let peer: InstanceType<typeof dmxlib.dmxnet>;

/** Runs frames until `found` gives something: 25 ms of the engine's time each, and a turn of the real network. */
async function until<T>(what: string, found: () => T | undefined): Promise<T> {
  for (let i = 0; i < 800; i++) {
    output.flush(levels, clock.advance(25));
    await rest(5);
    const value = found();
    if (value !== undefined) return value;
  }
  throw new Error(`${what} did not come`);
}

beforeAll(async () => {
  tap.on('message', (bytes) => heard.push({ bytes, packet: parseArtnet(bytes) }));
  tap.bind(6454);
  await once(tap, 'listening');
  output.relink([loopback], clock.now());
  output.carry([UNIVERSE], clock.now());
  await until('our poll', () => heard.find(({ packet }) => packet.kind === 'poll'));
  // Last to bind: of several sockets on a port the kernel gives unicast to the latest.
  peer = new dmxlib.dmxnet({ hosts: ['127.0.0.1'], log: { level: 'error' } });
  await Promise.all([once(peer.listener4, 'listening'), once(peer.socket, 'listening')]);
});

afterAll(() => {
  output.stop();
  tap.close();
  peer?.listener4.close();
  peer?.socket.close();
});

describe('Art-Net with dmxnet', () => {
  it('our poll is read and answered, and the answer subscribes in spite of its swapped port', async () => {
    heard.length = 0;
    const receiver = peer.newReceiver({ net: 1, subnet: 2, universe: 3 });
    const frame = Array.from({ length: 512 }, (_, i) => (i * 37 + 11) & 0xff);
    levels.slots(UNIVERSE).set(frame);
    const got = await until('ArtDmx at the peer', () => (receiver.values[0] === 11 ? receiver.values : undefined));
    expect(got).toEqual(frame);

    await until('the peer to have heard a poll', () => peer.controllers[0]);
    // The peer's own reading of Flags: bit 1 set, bits 2 and 3 clear.
    expect(peer.controllers).toMatchObject([
      { ip: '127.0.0.1', unilateral: true, diagnostic_enable: false, diagnostic_unicast: false },
    ]);
    const reply = await until('its answer', () => heard.findLast(({ packet }) => packet.kind === 'pollReply'));
    expect([...reply.bytes.subarray(14, 16)]).toEqual([0x19, 0x36]);
    expect(output.report().nodes).toMatchObject([
      { address: '127.0.0.1', shortName: 'dmxnet', outputs: [UNIVERSE], refreshRate: 0 },
    ]);
    expect(output.report()).toMatchObject({ state: 'sending', errors: [] });
  });

  it('what changes here arrives there', async () => {
    const [receiver] = peer.receivers;
    levels.slots(UNIVERSE).fill(0).fill(255, 511);
    const got = await until('the change', () =>
      receiver?.values[511] === 255 && receiver.values[0] === 0 ? receiver.values : undefined,
    );
    expect(got).toEqual([...new Array<number>(511).fill(0), 255]);
  });

  it('its ArtDmx is read here', async () => {
    const own = createSocket('udp4');
    const packets: ArtnetPacket[] = [];
    own.on('message', (bytes) => packets.push(parseArtnet(bytes)));
    own.bind(0, '127.0.0.1');
    await once(own, 'listening');
    const sender = peer.newSender({ net: 0x7f, subnet: 0xf, universe: 0xe, ip: '127.0.0.1', port: own.address().port });
    sender.prepChannel(0, 1);
    sender.prepChannel(511, 200);
    sender.transmit();
    const packet = await until('its ArtDmx', () => packets.find((one) => one.kind === 'dmx' && one.slots[511] === 200));
    sender.stop();
    own.close();
    const slots = Uint8Array.from({ length: 512 }, (_, i) => (i === 0 ? 1 : i === 511 ? 200 : 0));
    expect(packet).toMatchObject({ kind: 'dmx', sequence: 2, physical: 0, portAddress: 0x7ffe });
    expect(packet.kind === 'dmx' && Uint8Array.from(packet.slots)).toEqual(slots);
    expect(packets.every(({ kind }) => kind === 'dmx')).toBe(true);
  });
});

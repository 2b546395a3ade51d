import { afterEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { Capture } from '../helpers/tshark.ts';
import { Listener, OWN_ADDRESS } from './listener.ts';
import { swayingShow, YOKE } from './plain-show.ts';

afterEach(endAll);

const SYNC_UNIVERSE = 7000;
/** E1.31-2018 section 9.3.1: 7000 is 27 times 256 and 88. */
const SYNC_GROUP = '239.255.27.88';
/** Section 6.2.6, bit 5: act on data as it comes when synchronization is lost. */
const FORCE_SYNCHRONIZATION = 0x20;
/** Directed broadcast of 127.0.0.1/8. */
const EVERYBODY = '127.255.255.255';

describe('a node that is to synchronize', () => {
  it('has each frame followed by one sACN synchronization packet and one ArtSync', async () => {
    const wire = await Listener.open();
    const capture = await Capture.start('udp port 5568 or udp port 6454');
    const outputs = [
      { id: 'groups', protocol: 'sacn', to: [OWN_ADDRESS, wire.address], sync: SYNC_UNIVERSE },
      { id: 'artnet', protocol: 'artnet', to: [OWN_ADDRESS], sync: true },
    ];
    const node = await NodeProcess.start({ show: swayingShow, outputs });
    const { at } = await wire.next('movement', ({ universe, slots }) => universe === 2 && slots[0] !== YOKE[0], 0);
    await wire.next('half a second of it', (packet) => packet.at > at + 500, 0);
    await node.stop();
    await capture.end();
    wire.close();

    const data = capture.dissect(
      ['acn.cid', 'acn.dmx.reserved', 'acn.dmx.options'],
      `acn.dmx.universe and ip.dst == ${OWN_ADDRESS}`,
    );
    const cid = data[0]?.['acn.cid'][0] ?? '';
    expect(data.length).toBeGreaterThan(20);
    for (const packet of data) {
      // What this dissector calls reserved is the synchronization address.
      expect(packet['acn.dmx.reserved']).toEqual([String(SYNC_UNIVERSE)]);
      expect(Number(packet['acn.dmx.options'][0]) & FORCE_SYNCHRONIZATION).toBe(FORCE_SYNCHRONIZATION);
    }

    const ours = `udp.payload contains ${cid.match(/[0-9a-f]{2}/g)?.join(':')}`;
    const syncs = capture
      .dissect(['frame.number', 'udp.payload'], `ip.dst == ${SYNC_GROUP} and ${ours}`)
      .map((packet) => Buffer.from((packet['udp.payload'][0] ?? '').replaceAll(':', ''), 'hex'));
    expect(syncs.length).toBeGreaterThan(15);
    for (const [i, bytes] of syncs.entries()) {
      // Table 4-2; tshark 4.0 does not know this packet, newer ones do.
      expect(bytes.length).toBe(49);
      expect([bytes.readUInt16BE(16), bytes.readUInt32BE(18)]).toEqual([0x7021, 0x00000008]);
      expect([bytes.readUInt16BE(38), bytes.readUInt32BE(40)]).toEqual([0x700b, 0x00000001]);
      // The first four are 20 apart, then it counts.
      expect(bytes[44]).toBe((i < 4 ? 20 * i : i + 57) % 256);
      expect([bytes.readUInt16BE(45), bytes.readUInt16BE(47)]).toEqual([SYNC_UNIVERSE, 0]);
    }

    // Art-Net in the order of the wire: whatever ArtDmx a frame has, then ArtSync for everybody. It bears no name, so another node of
    // this machine may add some.
    const artnet = capture.dissect(
      ['artnet.header.opcode', 'artnet.header.protver', 'ip.dst', 'ip.src', 'udp.length'],
      `artnet.header.opcode == 0x5200 or (artnet.output and ip.dst == ${OWN_ADDRESS})`,
    );
    const order = artnet.map((packet) => (packet['artnet.header.opcode'][0] === '0x5200' ? 'S' : 'D')).join('');
    expect(order).toMatch(/^S*(D{1,2}S+)+$/);
    expect(order.length).toBeGreaterThan(40);
    for (const packet of artnet.filter((one) => one['artnet.header.opcode'][0] === '0x5200')) {
      expect(packet['artnet.header.protver']).toEqual(['14']);
      expect(packet['ip.dst']).toEqual([EVERYBODY]);
      // 14 octets and the UDP header.
      expect(packet['udp.length']).toEqual(['22']);
    }
  });
});

import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Status } from '../../node/api/local-contract.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { Capture, type Dissected, slotsShown } from '../helpers/tshark.ts';
import { OWN_ADDRESS } from './listener.ts';

/**
 * One evening on the loopback, captured live and read by Wireshark's dissectors: the demo show fades in, stands still, dances, ends, and
 * begins again. Clauses are those of ANSI E1.31-2018 and of the Art-Net 4 specification.
 */
const DEMO = fileURLToPath(new URL('../../shows/barn-wedding.json', import.meta.url));
const document = JSON.parse(readFileSync(DEMO, 'utf8')) as { fixtures: { universe: number }[] };
const universes = [...new Set(document.fixtures.map(({ universe }) => universe))].sort();
/** Group of universe 64214 (9.3.1 and Appendix A). tshark 4.0 does not know the packets that go there, newer ones do. */
const DISCOVERY = '239.255.250.214';

/** ArtPoll to the directed broadcast of 127.0.0.1/8. */
const POLLS = '(artnet.header.opcode == 0x2000 and ip.dst == 127.255.255.255)';

const TIME = ['frame.number', 'frame.time_epoch', 'ip.dst', 'udp.dstport', 'udp.length'] as const;
const SACN = [
  ...['acn.preamble_size', 'acn.postamble_size', 'acn.packet_identifier', 'acn.pdu.flags', 'acn.pdu.length', 'acn.protocol_id'],
  ...['acn.cid', 'acn.dmx_vector', 'acn.dmx.source_name', 'acn.dmx.priority', 'acn.dmx.reserved', 'acn.dmx.seq_number'],
  ...['acn.dmx.options', 'acn.dmx.universe', 'acn.dmp_vector', 'acn.dmp_adt_a', 'acn.dmp_adt_d', 'acn.dmp_adt_v', 'acn.dmp_adt_r'],
  ...['acn.dmx.first_property_address', 'acn.dmx.increment', 'acn.dmx.count', 'acn.dmx.start_code2', 'acn.dmx.data'],
] as const;
const ART_DMX = [
  ...['artnet.header.id', 'artnet.header.opcode', 'artnet.header.protver', 'artnet.output.sequence', 'artnet.output.physical'],
  ...['artnet.output.universe', 'artnet.output.length', 'dmx_chan.data_filter'],
] as const;

/** A packet of one universe: when, its number in the sequence, its slots as hexadecimal text. */
interface Sent {
  readonly at: number;
  readonly sequence: number;
  readonly slots: string;
  readonly terminated: boolean;
}

let capture: Capture;
let sacn: Dissected<(typeof TIME)[number] | (typeof SACN)[number]>[];
let artnet: Dissected<(typeof TIME)[number] | (typeof ART_DMX)[number]>[];
/** Of the first packet; the others are held against it. */
let cid: string;
/** Display filter for what this node sends: data, polls, and universe discovery by the CID. */
let ours: string;
/** What the node itself said goes to the wire, while it stood still and while it danced. */
let still: Status;
let dancing: Status;
/** Instants, in seconds as the kernel counts them. */
let stood: number;
let ended: number;

const seconds = () => (performance.timeOrigin + performance.now()) / 1000;
const packetsOf = (status: Status, output: string, universe: number): number =>
  status.outputs.find(({ id }) => id === output)?.universes.find((one) => one.universe === universe)?.packets ?? 0;
const more = async (node: NodeProcess, count: number): Promise<void> => {
  const before = packetsOf(await node.status(), 'sacn', 1);
  await until(`${count} packets more`, async () =>
    packetsOf(await node.status(), 'sacn', 1) >= before + count ? true : undefined,
  );
};

beforeAll(async () => {
  capture = await Capture.start('udp port 5568 or udp port 6454');
  const node = await NodeProcess.start({ show: DEMO, sacn: OWN_ADDRESS, artnet: OWN_ADDRESS });
  await until('stillness', async () => ((await node.status()).playing.every(({ state }) => state === 'on') ? true : undefined));
  // Time for three repeats and three keep-alives.
  const rest = (await node.status()).now;
  await until('three seconds of rest', async () => ((await node.status()).now > rest + 3300 ? true : undefined));
  stood = seconds();
  still = JSON.parse(await node.does('status', '--json')) as Status;
  await node.command({ do: 'press', button: 'Dance floor' });
  await more(node, 60);
  dancing = JSON.parse(await node.does('status', '--json')) as Status;
  await more(node, 1);
  await node.stop();
  ended = seconds();
  const again = await NodeProcess.start({ folder: node.folder, sacn: OWN_ADDRESS, artnet: OWN_ADDRESS });
  await until('several packets', async () => (packetsOf(await again.status(), 'sacn', 1) > 3 ? true : undefined));
  await again.stop();
  await capture.end();
  sacn = capture.dissect([...TIME, ...SACN], `acn.dmx.universe and ip.dst == ${OWN_ADDRESS}`);
  artnet = capture.dissect([...TIME, ...ART_DMX], `artnet.output and ip.dst == ${OWN_ADDRESS}`);
  cid = sacn[0]?.['acn.cid'][0] ?? '';
  const discovery = `(ip.dst == ${DISCOVERY} and udp.payload contains ${cid.match(/[0-9a-f]{2}/g)?.join(':')})`;
  ours = `ip.dst == ${OWN_ADDRESS} or ${POLLS} or ${discovery}`;
});
afterAll(endAll);

const one = (values: readonly string[]): string => (values.length === 1 ? (values[0] as string) : `not one: ${values.join()}`);
const hex = (slots: readonly number[]): string => Buffer.from(slots).toString('hex');

function sacnOf(universe: number): Sent[] {
  return sacn
    .filter((packet) => one(packet['acn.dmx.universe']) === String(universe))
    .map((packet) => ({
      at: Number(one(packet['frame.time_epoch'])),
      sequence: Number(one(packet['acn.dmx.seq_number'])),
      slots: hex(slotsShown(packet['acn.dmx.data'])),
      terminated: Number(one(packet['acn.dmx.options'])) === 0x40,
    }));
}

function artnetOf(universe: number): Sent[] {
  return artnet
    .filter((packet) => one(packet['artnet.output.universe']) === String(universe))
    .map((packet) => ({
      at: Number(one(packet['frame.time_epoch'])),
      sequence: Number(one(packet['artnet.output.sequence'])),
      slots: one(packet['dmx_chan.data_filter']),
      terminated: false,
    }));
}

const firstEvening = (sent: readonly Sent[]) => sent.filter(({ at }) => at < ended);
const secondEvening = (sent: readonly Sent[]) => sent.filter(({ at }) => at >= ended);

describe('Wireshark on all packets', () => {
  it('finds none malformed, and no protocol on the ports but ours', () => {
    expect(capture.dissect(['frame.number'], `_ws.malformed and (${ours})`)).toEqual([]);
    const all = capture.dissect([...TIME, '_ws.expert.severity', 'frame.protocols'], ours);
    expect(all.length).toBeGreaterThan(300);
    // Severity of an error: 8388608 (epan/proto.h, PI_ERROR).
    expect(all.filter((packet) => packet['_ws.expert.severity'].some((value) => Number(value) >= 8388608))).toEqual([]);
    const others = all.filter((packet) => !/:(acn|artnet(:dmx_chan)?)$/.test(one(packet['frame.protocols'])));
    expect(others.map((packet) => one(packet['ip.dst'])).filter((address) => address !== DISCOVERY)).toEqual([]);
  });
});

describe('sACN as the dissector reads it', () => {
  it('has the root layer of section 5, with one CID over restarts', () => {
    for (const packet of sacn) {
      expect(packet['acn.preamble_size']).toEqual(['16']);
      expect(packet['acn.postamble_size']).toEqual(['0']);
      expect(packet['acn.packet_identifier']).toEqual(['ASC-E1.17']);
      expect(packet['acn.protocol_id']).toEqual(['4']);
      // Table B-13 prints 0x726E, 0x7258 and 0x720B for 512 slots.
      expect(packet['acn.pdu.length']).toEqual([0x26e, 0x258, 0x20b].map(String));
      expect(packet['acn.pdu.flags'].map(Number)).toEqual([0x70, 0x70, 0x70]);
    }
    expect(new Set(sacn.map((packet) => one(packet['acn.cid'])))).toEqual(new Set([cid]));
    // A UUID by RFC 4122: a version of 1 to 5, variant 10.
    expect(cid).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-[1-5][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  });

  it('has the framing and DMP layers of sections 6 and 7', () => {
    for (const packet of sacn) {
      expect(packet['acn.dmx_vector']).toEqual(['2']);
      expect(packet['acn.dmx.source_name']).toEqual([`Duskhand on ${hostname()}`]);
      expect(packet['acn.dmx.priority']).toEqual(['100']);
      // What this dissector calls reserved is the synchronization address.
      expect(packet['acn.dmx.reserved']).toEqual(['0']);
      expect(['0', '64']).toContain(one(packet['acn.dmx.options']));
      expect(packet['udp.dstport']).toEqual(['5568']);
      expect(packet['acn.dmp_vector']).toEqual(['2']);
      expect(packet['acn.dmx.first_property_address']).toEqual(['0']);
      expect(packet['acn.dmx.increment']).toEqual(['1']);
      expect(packet['acn.dmx.count']).toEqual(['513']);
      expect(packet['acn.dmx.start_code2']).toEqual(['0']);
      // 638 octets and the UDP header.
      expect(packet['udp.length']).toEqual(['646']);
    }
    expect([...new Set(sacn.map((packet) => Number(one(packet['acn.dmx.universe']))))].sort()).toEqual(universes);
  });

  it('counts each universe on by one (6.2.5)', () => {
    for (const universe of universes) {
      for (const evening of [firstEvening(sacnOf(universe)), secondEvening(sacnOf(universe))]) {
        expect(evening.length).toBeGreaterThan(3);
        expectSteps(evening, 256, 20);
      }
    }
  });

  it('ends each universe with three terminated packets and nothing after them (6.2.6)', () => {
    for (const universe of universes) {
      for (const evening of [firstEvening(sacnOf(universe)), secondEvening(sacnOf(universe))]) {
        expect(evening.map(({ terminated }) => terminated).indexOf(true)).toBe(evening.length - 3);
        expect(evening.slice(-3).every(({ terminated }) => terminated)).toBe(true);
      }
    }
  });
});

describe('universe discovery', () => {
  it('lists the universes at the start of an evening, and none at its end (Table 4-3, section 12)', () => {
    const packets = capture.dissect(['frame.time_epoch', 'udp.payload'], `ip.dst == ${DISCOVERY} and (${ours})`);
    const payloads = packets
      .filter((packet) => Number(one(packet['frame.time_epoch'])) < ended)
      .map((packet) => Buffer.from(one(packet['udp.payload']).replaceAll(':', ''), 'hex'));
    for (const bytes of payloads) {
      // Root vector VECTOR_ROOT_E131_EXTENDED, framing vector ..._DISCOVERY, then the one of the list; page 0 of 0.
      expect([bytes.readUInt32BE(18), bytes.readUInt32BE(40), bytes.readUInt32BE(114), bytes[118], bytes[119]]).toEqual([
        8, 2, 1, 0, 0,
      ]);
    }
    const lists = payloads.map((bytes) =>
      Array.from({ length: (bytes.length - 120) / 2 }, (_, i) => bytes.readUInt16BE(120 + 2 * i)),
    );
    expect(lists[0]).toEqual(universes);
    expect(lists.at(-1)).toEqual([]);
    // Once every ten seconds, and once more when the list has changed.
    expect(lists.length).toBeLessThanOrEqual(4);
  });
});

describe('Art-Net as the dissector reads it', () => {
  it('has ArtDmx with its opcode, version, Port-Address, sequence and length', () => {
    for (const packet of artnet) {
      expect(packet['artnet.header.id']).toEqual(['Art-Net']);
      expect(packet['artnet.header.opcode']).toEqual(['0x5000']);
      expect(packet['artnet.header.protver']).toEqual(['14']);
      expect(packet['artnet.output.physical']).toEqual(['0']);
      expect(packet['artnet.output.length']).toEqual(['512']);
      expect(packet['ip.dst']).toEqual([OWN_ADDRESS]);
      expect(packet['udp.dstport']).toEqual(['6454']);
      // Header of 18 octets, 512 slots, and the UDP header.
      expect(packet['udp.length']).toEqual(['538']);
    }
    expect([...new Set(artnet.map((packet) => Number(one(packet['artnet.output.universe']))))].sort()).toEqual(universes);
    for (const universe of universes) {
      // 1..255 and then 1 again; 0 would switch the receiver's check off.
      expect(artnetOf(universe).some(({ sequence }) => sequence === 0)).toBe(false);
      for (const evening of [firstEvening(artnetOf(universe)), secondEvening(artnetOf(universe))]) expectSteps(evening, 255, 86);
    }
  });

  it('polls the subnet, and sends a receiver nothing but ArtDmx', () => {
    const polls = capture.dissect(['artnet.header.protver', 'udp.length'], POLLS);
    // Every 2.5 to 3 s, and once at each beginning.
    expect(polls.length).toBeGreaterThan(2);
    for (const packet of polls) {
      expect(packet['artnet.header.protver']).toEqual(['14']);
      // 22 octets and the UDP header.
      expect(packet['udp.length']).toEqual(['30']);
    }
    const opcodes = capture.dissect(['artnet.header.opcode'], `artnet and ip.dst == ${OWN_ADDRESS}`);
    expect(new Set(opcodes.map((packet) => one(packet['artnet.header.opcode'])))).toEqual(new Set(['0x5000']));
  });
});

describe.each([
  ['sACN', sacnOf, 'sacn'],
  ['Art-Net', artnetOf, 'artnet'],
] as const)('the levels over %s', (_name, of, output) => {
  it('are those that the node says it sends', () => {
    for (const { universe, levels } of still.universes) {
      const wanted = hex(levels);
      // Nothing changed between the last packet before the question and the next one.
      expect(
        of(universe)
          .filter(({ at }) => at < stood)
          .at(-1)?.slots,
      ).toBe(wanted);
    }
    for (const { universe, levels } of dancing.universes) {
      const wanted = hex(levels);
      expect(of(universe).some(({ slots }) => slots === wanted)).toBe(true);
    }
    expect(still.outputs.find(({ id }) => id === output)?.state).toBe('sending');
  });

  it('are repeated three times when they come to rest, then kept alive every 800 to 1000 ms (6.6.2)', () => {
    const quiet = of(1).filter(({ at }) => at < stood);
    const rest = quiet.findLastIndex(({ slots }, i) => slots !== quiet[i - 1]?.slots);
    const gaps = quiet.slice(rest).map(({ at }, i, all) => (at - (all[i - 1]?.at ?? at)) * 1000);
    expect(gaps.length).toBeGreaterThan(6);
    // The rate is 40: repeats come with the frames.
    for (const gap of gaps.slice(1, 4)) expect(gap).toBeLessThan(200);
    for (const gap of gaps.slice(4)) {
      expect(gap).toBeGreaterThanOrEqual(800);
      expect(gap).toBeLessThanOrEqual(1000);
    }
  });
});

/** The first four numbers are a stride apart, as receivers may remember others; from there on they count, in a circle. */
function expectSteps(sent: readonly Sent[], circle: number, stride: number): void {
  const steps = sent.slice(1).map(({ sequence }, i) => (sequence - (sent[i] as Sent).sequence + circle) % circle);
  expect(steps).toEqual(steps.map((_, i) => (i < 3 ? stride : 1)));
}

import assert from 'node:assert/strict';
import process from 'node:process';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { SacnSources } from '../../dist/node/monitor/sources.js';
import { ForeignStreams } from '../../dist/node/outputs/artnet/foreign.js';
import { parseArtnet } from '../../dist/node/outputs/artnet/parse.js';
import { parseSacn } from '../../dist/node/outputs/sacn/parse.js';
import { Datagrams, TRUTH, UNIVERSE } from './datagrams.mjs';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc');

/** Simulated time from one datagram to the next: 20 000 a second. */
const STEP = 0.05;
/** The true source among them sends 40 a second. */
const TRUE_EVERY = 500;
/** Rates are counted over two seconds. */
const SETTLED = 2000;
const MEGABYTE = 2 ** 20;
/** What stays behind when all is over: the parsers keep nothing and the tables are bounded. */
const MOST_GROWTH = 8 * MEGABYTE;

/** What a name must not hold once it is shown. */
export const UNPRINTABLE = /[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u;

/** E1.31-2018 sections 4 to 7: what has to be so in a packet of levels, looked up in the octets themselves. */
function checkData(bytes, packet) {
  assert.equal(bytes.subarray(0, 16).compare(TRUTH, 0, 16), 0);
  for (const at of [16, 38, 115]) assert.equal(bytes.readUInt16BE(at), 0x7000 + bytes.length - at);
  assert.deepEqual([bytes.readUInt32BE(18), bytes.readUInt32BE(40)], [4, 2]);
  assert.deepEqual([...bytes.subarray(117, 123)], [2, 0xa1, 0, 0, 0, 1]);
  assert.equal(bytes.readUInt16BE(123), bytes.length - 125);
  assert.ok(packet.universe >= 1 && packet.universe <= 63999 && packet.universe === bytes.readUInt16BE(113));
  assert.ok(packet.priority <= 200 && packet.priority === bytes[108]);
  assert.ok(packet.slots.length <= 512 && packet.slots.length === bytes.length - 126);
}

/** Art-Net 4, ArtDmx: the same. */
function checkDmx(bytes, packet) {
  assert.equal(bytes.toString('latin1', 0, 10), 'Art-Net\0\0P');
  assert.ok(bytes.readUInt16BE(10) >= 14);
  assert.equal(packet.portAddress, (bytes[15] << 8) | bytes[14]);
  assert.ok(packet.portAddress <= 32767);
  assert.equal(packet.slots.length, bytes.readUInt16BE(16));
  assert.ok(packet.slots.length >= 1 && packet.slots.length <= 512);
}

/** Feeds `count` datagrams to both parsers, and to the tables of other senders behind them. Throws when anything is not as it should be. */
export function fuzzParsers(count, seed, print) {
  const datagrams = new Datagrams(seed);
  const sources = new SacnSources();
  sources.watch({ universes: [UNIVERSE - 1, UNIVERSE, UNIVERSE + 1], own: [] });
  const streams = new ForeignStreams();
  const trueSource = Buffer.from(TRUTH);
  trueSource.fill(0x11, 22, 38);
  trueSource.write('True source\0', 44);
  const tally = new Map();
  const note = (protocol, kind, found) =>
    tally.set(`${protocol} ${kind} ${found}`, (tally.get(`${protocol} ${kind} ${found}`) ?? 0) + 1);

  collect();
  const before = process.memoryUsage().heapUsed;
  const began = performance.now();
  let now = Date.UTC(2030, 5, 15, 20);
  for (let i = 0; i < count; i++, now += STEP) {
    if (i % TRUE_EVERY === 0) {
      trueSource[111] = (i / TRUE_EVERY) & 0xff;
      sources.take(trueSource, '192.0.2.7', now);
      streams.heard({ portAddress: UNIVERSE, sequence: 0, slots: trueSource.subarray(126) }, '192.0.2.8', now);
    }
    const protocol = i % 2 === 0 ? 'sacn' : 'artnet';
    const { kind, bytes } = datagrams.next(protocol);
    // Whatever is meant for the one may come to the other.
    const sacn = parseSacn(bytes);
    const artnet = parseArtnet(bytes);
    if (sacn.kind === 'data') checkData(bytes, sacn);
    if (artnet.kind === 'dmx') checkDmx(bytes, artnet);
    if (protocol === 'sacn') assert.equal(artnet.kind, 'refused');
    else assert.equal(sacn.kind, 'refused');
    note(protocol, kind, (protocol === 'sacn' ? sacn : artnet).kind);
    sources.take(bytes, `198.51.100.${i & 0xff}`, now);
    if (artnet.kind === 'dmx') streams.heard(artnet, `198.51.${(i >> 8) & 0xff}.${i & 0xff}`, now);
    if (i % 10_000 === 9_999) checkTables(sources.report(now), streams.report(now), i * STEP < SETTLED ? 20 : 2);
  }
  const seconds = (performance.now() - began) / 1000;

  for (const protocol of ['sacn', 'artnet']) {
    const all = [...tally].filter(([key]) => key.startsWith(protocol));
    const refused = all.filter(([key]) => key.endsWith('refused')).reduce((sum, [, n]) => sum + n, 0);
    const total = all.reduce((sum, [, n]) => sum + n, 0);
    // A fuzz that is all refused at the door, or all let in, proves little.
    assert.ok(refused > total / 4 && refused < (total * 9) / 10, `${protocol}: ${refused} of ${total} refused`);
    print(`  ${protocol}: ${total} datagrams, ${refused} refused, ${total - refused} read`);
  }
  collect();
  const growth = process.memoryUsage().heapUsed - before;
  assert.ok(growth < MOST_GROWTH, `the heap has grown by ${growth} bytes`);
  print(`  ${Math.round(count / seconds)} a second; the heap grew by ${(growth / MEGABYTE).toFixed(1)} MB`);
}

/** The true ones are in them, with their rates to within `off`, and nobody else takes more than their room. */
function checkTables(sources, streams, off) {
  assert.ok(sources.length <= 256 && streams.length <= 64, `${sources.length} sources, ${streams.length} streams`);
  assert.ok(
    sources.some(
      ({ name, universe, perSecond }) => name === 'True source' && universe === UNIVERSE && Math.abs(perSecond - 40) <= off,
    ),
  );
  assert.ok(streams.some(({ address, perSecond }) => address === '192.0.2.8' && Math.abs(perSecond - 40) <= off));
  for (const { name } of sources) assert.doesNotMatch(name, UNPRINTABLE);
}

import dgram from 'node:dgram';
import { createRequire } from 'node:module';
import process from 'node:process';
import { built, HOST, pause, report, turn } from './common.mjs';
import { openSink } from './sink.mjs';

const require = createRequire(import.meta.url);
const { Levels } = await built('core/levels.js');
const { sacnSettings, artnetSettings } = await built('core/output-settings.js');
const { ArtnetOutput } = await built('outputs/artnet/output.js');
const { SacnOutput } = await built('outputs/sacn/output.js');
const { presentLinks } = await built('system/links.js');
const { KernelNeighbourhood } = await built('system/neighbours.js');
const { openUdp } = await built('system/udp.js');

const UNIVERSES = Array.from({ length: 16 }, (_, i) => i + 1);
const FRAMES = 20;
const ROUNDS = 150;
/** Before these the compiler has not settled. */
const WARMING = 20;

/** Every candidate changes one slot of every universe a frame: n is the number of the frame. */
const place = (n) => n & 511;
const value = (n) => (n >> 9) & 255;

/** One of our outputs, flushed as the engine does it: with its polls, discovery and keep-alives. */
function ours(output) {
  const levels = new Levels(UNIVERSES);
  output.relink(presentLinks(), 0);
  output.carry(UNIVERSES, 0);
  return (n) => {
    for (const universe of UNIVERSES) levels.slots(universe)[place(n)]++;
    output.flush(levels, n * 25);
  };
}

/** The least that one can do in Node and still learn of errors: one unconnected socket, nothing looked up, one callback for all. */
function raw(port, length, sequenceAt, slotsAt) {
  const lookup = (address, _options, done) => done(null, address, 4);
  const socket = dgram.createSocket({ type: 'udp4', lookup });
  const packets = UNIVERSES.map(() => new Uint8Array(length));
  const sent = (error) => {
    if (error) throw error;
  };
  return (n) => {
    for (const packet of packets) {
      packet[sequenceAt] = n;
      packet[slotsAt + place(n)]++;
      socket.send(packet, port, HOST, sent);
    }
  };
}

function npmE131(port) {
  const { Client } = require('e131');
  const clients = UNIVERSES.map((universe) => {
    const client = new Client(HOST, port);
    const packet = client.createPacket(512);
    packet.setUniverse(universe);
    return { client, packet, slots: packet.getSlotsData() };
  });
  return (n) => {
    for (const { client, packet, slots } of clients) {
      slots[place(n)]++;
      client.send(packet);
    }
  };
}

function npmDmxnet(port) {
  const { dmxnet } = require('dmxnet');
  // It listens and answers on loopback only; its own keep-alive stays out of the measurement.
  const net = new dmxnet({ log: { level: 'error' }, hosts: [HOST], listen: 16454 });
  const senders = UNIVERSES.map((universe) =>
    net.newSender({ ip: HOST, port, subnet: universe >> 4, universe: universe & 15, base_refresh_interval: 3_600_000 }),
  );
  return (n) => {
    for (const sender of senders) {
      sender.prepChannel(place(n), value(n));
      sender.transmit();
    }
  };
}

const { port } = await openSink();
const to = [`${HOST}:${port}`];
const host = { openUdp, neighbourhood: new KernelNeighbourhood(), random: Math.random, log: () => undefined };
const candidates = {
  rawSacn: raw(port, 638, 111, 126),
  ourSacn: ours(
    new SacnOutput({
      settings: sacnSettings.parse({ id: 'bench', protocol: 'sacn', to, interface: 'lo' }),
      cid: new Uint8Array(16),
      sourceName: 'bench',
      host,
    }),
  ),
  e131: npmE131(port),
  rawArtnet: raw(port, 530, 12, 18),
  ourArtnet: ours(
    new ArtnetOutput({
      settings: artnetSettings.parse({ id: 'bench', protocol: 'artnet', to, interface: 'lo' }),
      nodeName: 'bench',
      firmwareVersion: 1,
      host,
    }),
  ),
  dmxnet: npmDmxnet(port),
};
await pause(300);

/** CPU time of a packet in µs, user and system, by round. The candidates take turns, and nobody always comes behind the same one. */
const costs = Object.fromEntries(Object.keys(candidates).map((name) => [name, []]));
for (let round = 0; round < WARMING + ROUNDS; round++) {
  const order = Object.entries(candidates);
  for (let i = 0; i < order.length; i++) {
    const [name, frame] = order[(i * (round % 2 === 0 ? 1 : 5) + round) % order.length];
    globalThis.gc?.();
    const before = process.cpuUsage();
    for (let n = round * FRAMES; n < (round + 1) * FRAMES; n++) {
      frame(n);
      await turn();
    }
    const { user, system } = process.cpuUsage(before);
    if (round >= WARMING) costs[name].push((user + system) / (FRAMES * UNIVERSES.length));
  }
}
report(costs);

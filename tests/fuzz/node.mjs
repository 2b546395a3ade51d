import assert from 'node:assert/strict';
import dgram from 'node:dgram';
import { Worker } from 'node:worker_threads';
import { artDmx, TRUTH } from './datagrams.mjs';
import { UNPRINTABLE } from './parsers.mjs';
import { RunningNode, until } from './running-node.mjs';

const FRAMES_A_SECOND = 40;
const PER_SECOND = 20_000;
/** A memory that leaked every tenth datagram of a full run would grow by more. */
const MOST_GROWTH_MB = 60;
/**
 * Share of the frames that were due. A machine that is busy with other things delays everybody's; so no more are asked for than an
 * ordinary timer of the same period has ticked meanwhile.
 */
const LEAST_FRAMES = 0.95;
/** What a device of Art-Net has that is not this machine's own address. */
const STRANGER = '127.0.0.9';

/** One lamp that never stands still, so that every frame goes to the wire. */
const step = (level) => ({ length: { seconds: 0.7 }, fade: 1, parts: [{ who: [{ fixture: 'lamp' }], level }] });
const show = {
  format: 'duskhand-show',
  version: 1,
  id: 'fuzz',
  name: 'Fuzz',
  theme: { name: 'Plain', colours: [] },
  fixtures: [{ id: 'lamp', name: 'Lamp', type: 'dimmer', mode: '1ch', universe: 1, address: 1, use: 'uplight' }],
  looks: [{ id: 'dim', name: 'Dim', unattended: true, parts: [{ who: [{ fixture: 'lamp' }], level: 0.2 }] }],
  chases: [{ id: 'moving', name: 'Moving', fade: 0, unattended: true, steps: [step(0), step(1)] }],
  buttons: [{ id: 'moving', name: 'Moving', starts: [{ chase: 'moving' }] }],
  start: [{ chase: 'moving' }],
};

const bound = async (address, options = {}) => {
  const socket = dgram.createSocket({ type: 'udp4', ...options });
  await new Promise((resolve) => socket.bind(0, address, resolve));
  return socket;
};

/** The receiver of the node's frames: counts them, and those that are missing by their sequence numbers. */
class Frames {
  count = 0;
  missing = 0;
  longest = 0;
  #last;
  #at;

  constructor(socket) {
    socket.on('message', (bytes) => {
      const now = performance.now();
      const sequence = bytes[111];
      if (this.#last !== undefined) {
        this.missing += (sequence - this.#last - 1) & 0xff;
        this.longest = Math.max(this.longest, now - this.#at);
      }
      this.#last = sequence;
      this.#at = now;
      this.count++;
    });
  }
}

/** Two honest devices that send on our universe, 40 times a second, before, during and after. */
function startTrueSources(sacn, artnet) {
  const sources = { ticks: 0, end: () => clearInterval(timer) };
  const packet = Buffer.from(TRUTH);
  packet.fill(0x11, 22, 38);
  packet.fill(0, 44, 108).write('True source', 44);
  const timer = setInterval(() => {
    const sequence = ++sources.ticks & 0xff;
    packet[111] = sequence;
    sacn.send(Buffer.from(packet), 5568, '239.255.0.1');
    artnet.send(artDmx(1, sequence || 1), 6454, '127.0.0.1');
  }, 25);
  return sources;
}

const truths = ({ sources }) => ({
  sacn: sources.find(({ protocol, name }) => protocol === 'sacn' && name === 'True source'),
  artnet: sources.find(({ protocol, address }) => protocol === 'artnet' && address === STRANGER),
});

const blast = (workerData) =>
  new Promise((resolve, reject) => {
    const worker = new Worker(new URL('./blast.mjs', import.meta.url), { workerData });
    worker.once('message', resolve).once('error', reject);
  });

/** Throws `count` datagrams at a running node. Throws an error when anything is not as it should be. */
export async function fuzzNode(count, seed, print) {
  const node = new RunningNode();
  const receiver = await bound('127.0.0.1', { recvBufferSize: 4 * 2 ** 20 });
  const sacn = await bound('127.0.0.1');
  sacn.setMulticastInterface('127.0.0.1');
  const artnet = await bound(STRANGER);
  let sources;
  try {
    await node.start(show, `127.0.0.1:${receiver.address().port}`);
    sources = startTrueSources(sacn, artnet);
    const seen = () => {
      const { sacn: one, artnet: other } = truths(node.reports.at(-1));
      return one !== undefined && other !== undefined;
    };
    await until('true source', seen);

    const before = node.megabytes;
    const drops = { sacn: node.dropped(5568), artnet: node.dropped(6454) };
    const reportsBefore = node.reports.length;
    const frames = new Frames(receiver);
    const ticksBefore = sources.ticks;
    const began = performance.now();
    const { refusals, seconds } = await blast({ count, perSecond: PER_SECOND, seed });
    const due = ((performance.now() - began) / 1000) * FRAMES_A_SECOND;
    const ticks = sources.ticks - ticksBefore;
    const { count: got, missing, longest } = frames;
    const during = node.reports.slice(reportsBefore);
    print(`  ${count} in ${seconds.toFixed(1)} s, of which the sender's system refused ${refusals}`);
    print(
      `  the kernel dropped ${node.dropped(5568) - drops.sacn} at the sACN port, ${node.dropped(6454) - drops.artnet} at the Art-Net port`,
    );
    print(
      `  frames: ${got} of ${due.toFixed(0)} (an ordinary timer: ${ticks}), ${missing} lost, longest interval ${longest.toFixed(0)} ms`,
    );
    print(
      `  true sources in ${during.filter((report) => truths(report).sacn && truths(report).artnet).length} of ${during.length} reports`,
    );
    assert.ok(node.runs, `the node has ended: ${node.stderr}`);
    assert.ok(got >= Math.min(due, ticks) * LEAST_FRAMES, `${got} frames came of ${due}, ${ticks} ticks`);
    assert.equal(missing, 0);
    assert.ok(during.length >= Math.floor(seconds), `${during.length} reports in ${seconds} s`);

    const only = () => node.reports.at(-1).sources.length === 2 && seen();
    await until('list of nobody but the true sources', only);
    const { sacn: one, artnet: other } = truths(node.reports.at(-1));
    assert.deepEqual([one.universe, one.priority, one.meaning], [1, 100, 'Lights may mix both, or flicker.']);
    assert.deepEqual([other.universe, other.portAddress], [1, 1]);
    for (const { sources } of node.reports) {
      assert.ok(sources.length <= 256 + 64);
      for (const { name } of sources) assert.doesNotMatch(name, UNPRINTABLE);
    }
    const growth = node.megabytes - before;
    print(`  resident memory grew by ${growth.toFixed(1)} MB to ${node.megabytes.toFixed(0)} MB`);
    assert.ok(growth < MOST_GROWTH_MB, `memory grew by ${growth} MB`);
    assert.doesNotMatch(node.stderr, /has ended|has died|reports E/, node.stderr);
    sources.end();
    assert.equal(await node.stop(), 0);
  } finally {
    sources?.end();
    for (const socket of [receiver, sacn, artnet]) socket.close();
    await node.clear();
  }
}

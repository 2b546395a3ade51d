import assert from 'node:assert/strict';
import dgram from 'node:dgram';
import { Worker } from 'node:worker_threads';
import { artDmx, GROUP, TRUTH, UNIVERSE } from './datagrams.mjs';
import { UNPRINTABLE } from './parsers.mjs';
import { RunningNode, until } from './running-node.mjs';

const FRAMES_A_SECOND = 40;
/** A full run brings some 120 MB of datagrams; none of it may stay. What is left is the garbage of the moment. */
const MOST_GROWTH_MB = 40;
/** Datagrams a second: first more than can be read, then as many as the engine, which reads between frames, can read. */
const RATES = [20_000, 2_400];
/**
 * Share of the frames that were due. A machine that is busy with other things delays everybody's; so no more are asked for than an
 * ordinary timer of the same period has ticked meanwhile.
 */
const LEAST_FRAMES = 0.8;
/** What a device of Art-Net has that is not this machine's own address. */
const STRANGER = '127.0.0.9';

/** One lamp that never stands still, so that every frame goes to the wire. */
const step = (level) => ({ length: { seconds: 0.7 }, fade: 1, parts: [{ who: [{ fixture: 'lamp' }], level }] });
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'fuzz',
  name: 'Fuzz',
  theme: { name: 'Plain', colours: [] },
  fixtures: [{ id: 'lamp', name: 'Lamp', type: 'dimmer', mode: '1ch', universe: UNIVERSE, address: 1, use: 'uplight' }],
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
    sacn.send(Buffer.from(packet), 5568, GROUP);
    artnet.send(artDmx(UNIVERSE, sequence || 1), 6454, '127.0.0.1');
  }, 25);
  return sources;
}

const truths = ({ sources }) => ({
  sacn: sources.find(({ protocol, name }) => protocol === 'sacn' && name === 'True source'),
  artnet: sources.find(({ protocol, address }) => protocol === 'artnet' && address === STRANGER),
});

const showsTruth = (report) => Object.values(truths(report)).every((one) => one !== undefined);

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
    await until('true sources', () => showsTruth(node.reports.at(-1)));
    const before = node.megabytes;
    const sum = { due: 0, got: 0, missing: 0 };
    for (const [i, perSecond] of RATES.entries()) {
      const how = { count: Math.ceil(count / RATES.length), perSecond, seed: seed + i };
      const found = await flood(node, new Frames(receiver), sources, how, print);
      for (const key in sum) sum[key] += found[key];
    }
    assert.ok(sum.got >= sum.due * LEAST_FRAMES, `${sum.got} frames came of ${sum.due}`);
    assert.equal(sum.missing, 0);
    await until('list of nobody but the true sources', () => {
      const last = node.reports.at(-1);
      return last.sources.length === 2 && showsTruth(last);
    });
    checkSources(node.reports);
    const growth = node.megabytes - before;
    print(`  resident memory grew by ${growth.toFixed(1)} MB to ${node.megabytes.toFixed(0)} MB`);
    assert.ok(growth < MOST_GROWTH_MB, `memory grew by ${growth} MB`);
    // The monitor and the engine say so when they have died, or when the system refuses them something.
    assert.doesNotMatch(node.stderr, /has ended|has died|reports E/, node.stderr);
    sources.end();
    assert.equal(await node.stop(), 0);
  } finally {
    sources?.end();
    for (const socket of [receiver, sacn, artnet]) socket.close();
    await node.clear();
  }
}

async function flood(node, frames, sources, how, print) {
  const before = { sacn: node.dropped(5568), artnet: node.dropped(6454), reports: node.reports.length, ticks: sources.ticks };
  const began = performance.now();
  const { refusals, seconds } = await blast(how);
  const due = ((performance.now() - began) / 1000) * FRAMES_A_SECOND;
  const ticks = sources.ticks - before.ticks;
  const { count, missing, longest } = frames;
  const reports = node.reports.slice(before.reports);
  const [sacn, artnet] = [node.dropped(5568) - before.sacn, node.dropped(6454) - before.artnet];
  print(`  ${how.count} in ${seconds.toFixed(1)} s, of which the sender's system refused ${refusals}`);
  print(`  not fetched in time: ${sacn} at the sACN port, ${artnet} at the Art-Net port`);
  print(
    `  frames: ${count} of ${due.toFixed(0)} (an ordinary timer: ${ticks}), ${missing} lost, longest interval ${longest.toFixed(0)} ms`,
  );
  print(`  true sources in ${reports.filter(showsTruth).length} of ${reports.length} reports`);
  assert.ok(node.runs, `the node has ended: ${node.stderr}`);
  assert.ok(reports.length >= Math.floor(seconds), `${reports.length} reports in ${seconds} s`);
  return { due: Math.min(due, ticks), got: count, missing };
}

function checkSources(reports) {
  const { sacn, artnet } = truths(reports.at(-1));
  assert.deepEqual([sacn.universe, sacn.priority, sacn.meaning], [UNIVERSE, 100, 'Lights may mix both, or flicker.']);
  assert.deepEqual([artnet.universe, artnet.portAddress], [UNIVERSE, UNIVERSE]);
  for (const { sources } of reports) {
    assert.ok(sources.length <= 256 + 64);
    for (const { name } of sources) assert.doesNotMatch(name, UNPRINTABLE);
  }
}

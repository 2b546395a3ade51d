import dgram from 'node:dgram';
import inspector from 'node:inspector';
import process from 'node:process';
import { built, HOST, report, turn } from './common.mjs';
import { heavyShow, sacnTo } from './show.mjs';
import { openSink } from './sink.mjs';

const { Levels } = await built('core/levels.js');
const { Tick } = await built('engine/tick.js');
const { ArtnetOutput } = await built('outputs/artnet/output.js');
const { SacnOutput } = await built('outputs/sacn/output.js');
const { sacnSettings, artnetSettings } = await built('core/output-settings.js');
const { compileShow } = await built('playback/compile.js');
const { freshState } = await built('playback/reduce.js');
const { checkShow } = await built('show/read.js');
const { presentLinks } = await built('system/links.js');

const UNIVERSES = 64;
const FRAMES = 2000;

const { port } = await openSink();
const to = [`${HOST}:${port}`];
const show = compileShow(checkShow(heavyShow(UNIVERSES, [sacnTo('sink', port)])));
const state = freshState(show, 0);
const levels = new Levels(show.rig.universes);
const tick = new Tick(show, levels);

/** Sockets that take everything and do nothing: what is left is ours. */
const openUdp = () => ({ send: () => undefined, close: () => undefined });
const host = { openUdp, random: Math.random, log: () => undefined };
const sacn = new SacnOutput({
  settings: sacnSettings.parse({ id: 'sacn', protocol: 'sacn', to, interface: 'lo' }),
  cid: new Uint8Array(16),
  sourceName: 'bench',
  host,
});
const artnet = new ArtnetOutput({
  settings: artnetSettings.parse({ id: 'artnet', protocol: 'artnet', to, interface: 'lo' }),
  nodeName: 'bench',
  firmwareVersion: 1,
  host,
});
for (const output of [sacn, artnet]) {
  output.relink(presentLinks(), 0);
  output.carry(show.rig.universes, 0);
}

const socket = dgram.createSocket({ type: 'udp4', lookup: (address, _options, done) => done(null, address, 4) });
const packet = new Uint8Array(638);
const sent = () => undefined;

let frames = 0;
const work = {
  draw: () => tick.run(state, frames * 25),
  sacn: () => {
    for (const universe of levels.universes) levels.slots(universe)[frames & 511]++;
    sacn.flush(levels, frames * 25);
  },
  artnet: () => {
    for (const universe of levels.universes) levels.slots(universe)[frames & 511]++;
    artnet.flush(levels, frames * 25);
  },
  dgram: () => {
    for (let i = 0; i < UNIVERSES; i++) socket.send(packet, port, HOST, sent);
  },
};

async function run(one, count) {
  for (let i = 0; i < count; i++) {
    frames++;
    one();
    await turn();
  }
}

/** Bytes of heap a frame. The young generation is large enough for fifty frames, so that nothing is collected while they are drawn. */
async function allocated(one) {
  await run(one, FRAMES / 2);
  let bytes = 0;
  for (let drawn = 0; drawn < FRAMES; drawn += 50) {
    globalThis.gc?.();
    const before = process.memoryUsage().heapUsed;
    await run(one, 50);
    bytes += process.memoryUsage().heapUsed - before;
  }
  return bytes / FRAMES;
}

/** Who allocates in drawing and in our outputs, the greediest first, by V8's sampling. */
async function allocators() {
  const session = new inspector.Session();
  session.connect();
  const post = (method, params) =>
    new Promise((resolve, reject) => session.post(method, params, (error, result) => (error ? reject(error) : resolve(result))));
  const collected = { includeObjectsCollectedByMajorGC: true, includeObjectsCollectedByMinorGC: true };
  await post('HeapProfiler.startSampling', { samplingInterval: 256, ...collected });
  for (const one of [work.draw, work.sacn, work.artnet]) await run(one, FRAMES / 2);
  const { profile } = await post('HeapProfiler.stopSampling');
  const sizes = new Map();
  const visit = ({ callFrame: { functionName, url }, selfSize, children }) => {
    if (url.includes('/dist/node/')) {
      const name = `${functionName || '(unnamed)'} in ${url.split('/dist/node/')[1]}`;
      sizes.set(name, (sizes.get(name) ?? 0) + selfSize);
    }
    for (const child of children) visit(child);
  };
  visit(profile.head);
  return [...sizes]
    .sort((a, b) => b[1] - a[1])
    .slice(0, 5)
    .map(([name, size]) => ({ name, bytes: size / (FRAMES / 2) }));
}

const idle = await allocated(() => undefined);
const result = {};
for (const [name, one] of Object.entries(work)) result[name] = (await allocated(one)) - idle;
report({ ...result, dgram: result.dgram / UNIVERSES, allocators: await allocators() });

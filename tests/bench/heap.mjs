import dgram from 'node:dgram';
import inspector from 'node:inspector';
import { built, HOST, report, turn } from './common.mjs';
import { restlessShow } from './show.mjs';
import { openSink } from './sink.mjs';

const { Levels } = await built('core/levels.js');
const { Pipeline } = await built('pipeline/pipeline.js');
const { ArtnetOutput } = await built('outputs/artnet/output.js');
const { SacnOutput } = await built('outputs/sacn/output.js');
const { sacnSettings, artnetSettings } = await built('core/output-settings.js');
const { compileShow } = await built('playback/compile.js');
const { freshState } = await built('playback/reduce.js');
const { checkShow } = await built('show/read.js');
const { presentLinks } = await built('system/links.js');
const { KernelNeighbourhood } = await built('system/neighbours.js');

const UNIVERSES = 64;
const FRAMES = 1000;

const { port } = await openSink();
const to = [`${HOST}:${port}`];
const show = compileShow(checkShow(restlessShow(UNIVERSES)));
const state = freshState(show, 0);
const levels = new Levels(show.rig.universes);
const pipeline = Pipeline.for(show, levels);

/** Sockets that take everything and do nothing: what is left is ours. */
const openUdp = () => ({ send: () => undefined, close: () => undefined });
const host = { openUdp, neighbourhood: new KernelNeighbourhood(), random: Math.random, log: () => undefined };
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
  draw: () => pipeline.run(state, frames * 25),
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

const session = new inspector.Session();
session.connect();
const post = (method, params) =>
  new Promise((resolve, reject) => session.post(method, params, (error, result) => (error ? reject(error) : resolve(result))));

/** Bytes of heap a frame that functions of `ours` and what they call allocate, by V8's sampling; in all, and by function. */
async function allocated(one, ours = '/dist/node/') {
  await run(one, FRAMES);
  const collected = { includeObjectsCollectedByMajorGC: true, includeObjectsCollectedByMinorGC: true };
  await post('HeapProfiler.startSampling', { samplingInterval: 256, ...collected });
  await run(one, FRAMES);
  const { profile } = await post('HeapProfiler.stopSampling');
  const functions = new Map();
  const visit = ({ callFrame: { functionName, url }, selfSize, children }, within) => {
    const name = url.includes(ours) ? `${functionName || '(unnamed)'} in ${url.split(ours)[1]}` : within;
    if (name !== undefined) functions.set(name, (functions.get(name) ?? 0) + selfSize / FRAMES);
    for (const child of children) visit(child, name);
  };
  visit(profile.head);
  return { bytes: [...functions.values()].reduce((sum, size) => sum + size, 0), functions: [...functions] };
}

const results = {
  draw: await allocated(work.draw),
  sacn: await allocated(work.sacn),
  artnet: await allocated(work.artnet),
  dgram: await allocated(work.dgram, 'node:dgram'),
};
const functions = [results.draw, results.sacn, results.artnet].flatMap((result) => result.functions);
report({
  draw: results.draw.bytes,
  sacn: results.sacn.bytes,
  artnet: results.artnet.bytes,
  dgram: results.dgram.bytes / UNIVERSES,
  greediest: functions.sort(([, a], [, b]) => b - a).slice(0, 4),
});

import { fork } from 'node:child_process';
import { createRequire } from 'node:module';
import process from 'node:process';
import { WebSocketServer } from 'ws';
import { file, HOST, now, pause, report } from './common.mjs';
import { startEngine } from './engine.mjs';
import { restlessShow, sacnTo } from './show.mjs';
import { openSink } from './sink.mjs';

const UNIVERSES = 64;
const FRAME = 25;
const SECONDS = 10;
const CLIENTS = 50;
const STALL = 50;

/** What a busy evening asks of the main thread: fifty remotes that are told of the levels, and a stall now and then. */
async function loadMainThread() {
  const server = new WebSocketServer({ host: HOST, port: 0 });
  const levels = Array.from({ length: 512 }, (_, i) => i & 255);
  server.on('connection', (socket) => {
    socket.on('message', (data) => socket.send(JSON.stringify({ heard: JSON.parse(String(data)) })));
  });
  setInterval(() => {
    levels[0] = (levels[0] + 1) & 255;
    for (const client of server.clients) client.send(JSON.stringify({ levels }));
  }, 50);
  setInterval(() => {
    for (const until = now() + STALL; now() < until; );
  }, 700);
  await new Promise((resolve) => server.once('listening', resolve));
  const clients = fork(file('clients.mjs'), [String(server.address().port), String(CLIENTS)]);
  await new Promise((resolve) => clients.once('message', resolve));
  return clients;
}

function playEngine(port, sink) {
  const others = Array.from({ length: UNIVERSES - 1 }, (_, i) => i + 2);
  return startEngine(restlessShow(UNIVERSES, { beams: 1 }), [sacnTo('ear', port, [1]), sacnTo('sink', sink, others)], 1000 / FRAME);
}

/** The usual way: a library, and a timer on the main thread. */
function startDmxnet(port, sink) {
  const { dmxnet } = createRequire(import.meta.url)('dmxnet');
  const net = new dmxnet({ log: { level: 'error' }, hosts: [HOST], listen: 16454 });
  const senders = Array.from({ length: UNIVERSES }, (_, universe) =>
    net.newSender({
      ip: HOST,
      port: universe === 0 ? port : sink,
      subnet: universe >> 4,
      universe: universe & 15,
      base_refresh_interval: 3_600_000,
    }),
  );
  let frame = 0;
  setInterval(() => {
    frame++;
    for (const sender of senders) {
      sender.prepChannel(frame & 511, frame & 255);
      sender.transmit();
    }
  }, FRAME);
}

const receiver = fork(file('receiver.mjs'));
const { port } = await new Promise((resolve) => receiver.once('message', resolve));
const sink = await openSink();
const clients = await loadMainThread();
if (process.argv[2] === 'engine') await playEngine(port, sink.port);
else startDmxnet(port, sink.port);
await pause(1500);
receiver.send('start');
await pause(SECONDS * 1000);
receiver.send('stop');
const arrivals = await new Promise((resolve) => receiver.once('message', resolve));
clients.kill();
receiver.kill();
report(arrivals.slice(1).map((at, i) => at - arrivals[i]));

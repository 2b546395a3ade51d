import dgram from 'node:dgram';
import { parentPort, workerData } from 'node:worker_threads';
import { Datagrams, GROUP } from './datagrams.mjs';

/** The thrower, in a thread of its own: `count` datagrams, `perSecond` at most, in turn to the sACN group, the sACN port and the Art-Net port. */
const { count, perSecond, seed } = workerData;
/** What the loopback takes; larger ones are not sent. */
const LARGEST = 65_507;
const BURST_EVERY = 2;
const targets = [
  { protocol: 'sacn', port: 5568, address: GROUP },
  { protocol: 'artnet', port: 6454, address: '127.0.0.1' },
  { protocol: 'sacn', port: 5568, address: '127.0.0.1' },
  { protocol: 'artnet', port: 6454, address: '127.0.0.1' },
];

const datagrams = new Datagrams(seed);
const socket = dgram.createSocket('udp4');
await new Promise((resolve) => socket.bind(0, '127.0.0.13', resolve));
socket.setMulticastInterface('127.0.0.1');
let refusals = 0;
const send = ({ port, address }, bytes) =>
  new Promise((resolve) =>
    socket.send(bytes, port, address, (error) => {
      if (error) refusals++;
      resolve();
    }),
  );

const began = performance.now();
for (let sent = 0; sent < count; ) {
  const due = Math.min(count, Math.ceil(((performance.now() - began + BURST_EVERY) / 1000) * perSecond));
  const burst = [];
  for (; sent < due; sent++) {
    const target = targets[sent % targets.length];
    const { bytes } = datagrams.next(target.protocol);
    // Now and then one as large as UDP takes.
    burst.push(send(target, sent % 5000 === 4999 ? Buffer.concat([bytes, Buffer.alloc(LARGEST - bytes.length)]) : bytes));
  }
  await Promise.all(burst);
  await new Promise((resolve) => setTimeout(resolve, BURST_EVERY));
}
socket.close();
parentPort.postMessage({ refusals, seconds: (performance.now() - began) / 1000 });

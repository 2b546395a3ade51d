import dgram from 'node:dgram';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { HOST } from './common.mjs';

/**
 * A socket that is bound and never read: the kernel takes datagrams up to its buffer's size and drops the rest, as for a receiver that
 * cannot keep up. The thread that holds it sleeps, so it costs no time of its own.
 */
export async function openSink() {
  const worker = new Worker(new URL(import.meta.url), { workerData: 'sink' });
  const port = await new Promise((resolve) => worker.once('message', resolve));
  return { port, close: () => worker.terminate() };
}

if (!isMainThread && workerData === 'sink') {
  const socket = dgram.createSocket('udp4');
  socket.bind(0, HOST, () => {
    parentPort?.postMessage(socket.address().port);
    // Once the message has left.
    setTimeout(() => Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0), 50);
  });
}

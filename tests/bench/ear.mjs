import dgram from 'node:dgram';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { HOST, now } from './common.mjs';

/** E1.31-2018 Table 4-1: slot 1 is octet 126, so slot 512 is octet 637. Discovery packets are longer or shorter than 638. */
const DATA_LENGTH = 638;
const SLOT_512 = 637;

/**
 * A thread that listens to one universe of sACN by itself, so that its clock readings wait for nobody else.
 * `onDatagram` gets the instant of arrival and the level of slot 512.
 */
export async function openEar(onDatagram) {
  const worker = new Worker(new URL(import.meta.url), { workerData: 'ear' });
  const port = await new Promise((resolve) => worker.once('message', resolve));
  worker.on('message', ({ at, level }) => onDatagram(at, level));
  return { port, close: () => worker.terminate() };
}

if (!isMainThread && workerData === 'ear') {
  const socket = dgram.createSocket('udp4');
  socket.on('message', (packet) => {
    const at = now();
    // Art-Net beside it has no such length: what is not sACN data is given as level 0.
    parentPort?.postMessage({ at, level: packet.length === DATA_LENGTH ? packet[SLOT_512] : 0 });
  });
  socket.bind(0, HOST, () => parentPort?.postMessage(socket.address().port));
}

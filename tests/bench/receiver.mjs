import dgram from 'node:dgram';
import { constants, setPriority } from 'node:os';
import process from 'node:process';
import { HOST, now } from './common.mjs';

/** Notes when the datagrams of one universe arrive, in a process that does nothing else. What is short is discovery. */
let arrivals = [];
try {
  setPriority(constants.priority.PRIORITY_HIGHEST);
} catch {
  // Only root may; then the instrument waits for its turn like everybody.
}
const socket = dgram.createSocket('udp4');
socket.on('message', (packet) => {
  if (packet.length > 500) arrivals.push(now());
});
socket.bind(0, HOST, () => process.send?.({ port: socket.address().port }));
process.on('message', (word) => {
  if (word === 'start') arrivals = [];
  else process.send?.(arrivals);
});

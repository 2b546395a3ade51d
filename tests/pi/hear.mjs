// hear.mjs: every sACN data packet of universe 1 on the loopback of this network namespace, a line of JSON each: when, whether it takes leave, its first slots.
import { createSocket } from 'node:dgram';

/** ANSI E1.31-2018: the port (section 9.2), the group of universe 1 (9.3.1), places of the fields (Table 4-1), Stream_Terminated (6.2.6). */
const [PORT, GROUP, OPTIONS, UNIVERSE, SLOTS, TERMINATED] = [5568, '239.255.0.1', 112, 113, 126, 0x40];

const socket = createSocket({ type: 'udp4', reuseAddr: true });
socket.on('message', (bytes) => {
  if (bytes.length <= SLOTS || bytes.readUInt16BE(UNIVERSE) !== 1) return;
  const at = performance.timeOrigin + performance.now();
  console.log(JSON.stringify({ at, ends: (bytes[OPTIONS] & TERMINATED) !== 0, slots: [...bytes.subarray(SLOTS, SLOTS + 64)] }));
});
socket.bind(PORT, () => socket.addMembership(GROUP, '127.0.0.1'));

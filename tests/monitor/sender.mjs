import dgram from 'node:dgram';
import { readFileSync } from 'node:fs';
import process from 'node:process';

/**
 * Somebody else on the network: sends the packet that E1.31-2018 prints as Table B-13 with numbers that go on, 20 times a second.
 * Arguments: its IPv4 address, the group.
 */
const [address = '', group = ''] = process.argv.slice(2);
const packet = Buffer.from(readFileSync(new URL('../truth/e131-table-b13.hex', import.meta.url), 'utf8').trim(), 'hex');
const socket = dgram.createSocket('udp4');
socket.on('error', () => undefined);
socket.bind(0, address, () => {
  socket.setMulticastInterface(address);
  let sequence = 0;
  setInterval(() => {
    packet[111] = ++sequence & 0xff;
    socket.send(Buffer.from(packet), 5568, group, () => undefined);
  }, 50);
  process.stdout.write('sending\n');
});

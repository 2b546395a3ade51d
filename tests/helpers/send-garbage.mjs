/** Sends what is no proper datagram, five hundred to each place. Words: the places, as ADDRESS:PORT. */
import { createSocket } from 'node:dgram';

const places = process.argv.slice(2);
const heads = [
  '',
  '00',
  '0000840000000001',
  '000001000001000000000000c00c00010001',
  '4172742d4e657400',
  '001000004153432d45312e3137000000',
];
const socket = createSocket('udp4');
for (const place of places) {
  const [address, port] = place.split(':');
  for (let i = 0; i < 500; i++) {
    const head = Buffer.from(heads[i % heads.length], 'hex');
    const bytes = Buffer.concat([head, Buffer.alloc((i * 37) % 1200, (i * 59) % 256)]);
    await new Promise((done) => socket.send(bytes, Number(port), address, done));
  }
}
socket.close();

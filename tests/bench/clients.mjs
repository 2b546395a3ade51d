import process from 'node:process';
import { WebSocket } from 'ws';
import { HOST } from './common.mjs';

/** Remotes: each takes whatever it is told and says a word five times a second. */
const [port, count] = process.argv.slice(2);
const sockets = Array.from({ length: Number(count) }, () => new WebSocket(`ws://${HOST}:${port}`));
await Promise.all(sockets.map((socket) => new Promise((resolve) => socket.once('open', resolve))));
for (const [i, socket] of sockets.entries()) {
  socket.on('message', (data) => JSON.parse(String(data)));
  socket.on('close', () => process.exit(0));
  setTimeout(() => setInterval(() => socket.send(JSON.stringify({ do: 'press', button: `b${i}` })), 200), i * 4);
}
process.send?.('open');

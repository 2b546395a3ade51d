import type { Server } from 'node:http';
import type { Duplex } from 'node:stream';
import { type WebSocket, WebSocketServer } from 'ws';
import type { Remote } from '../../store/remotes.ts';
import { LONGEST_EDIT } from '../edit-contract.ts';
import { isOurHost, isOurOrigin, type Visitors } from '../visitors.ts';

/** No honest message is longer, but an edit. */
const LARGEST_MESSAGE = 16 * 1024;

/** Takes over the upgrades of a web server: a paired remote on a page of ours gets its socket, everybody else a refusal and the end. */
export function takeUpgrades(server: Server, visitors: Visitors, welcome: (socket: WebSocket, remote: Remote) => void): void {
  const taking = (maxPayload: number) => new WebSocketServer({ noServer: true, maxPayload, clientTracking: false });
  const sockets = taking(LARGEST_MESSAGE);
  const ofEditors = taking(LONGEST_EDIT);
  server.on('upgrade', (request, socket, head) => {
    const isOurs = request.url === '/ws' && isOurHost(request) && request.headers.origin !== undefined && isOurOrigin(request);
    const remote = visitors.of(request);
    if (isOurs && remote !== undefined) {
      const own = remote.role === 'operator' ? ofEditors : sockets;
      own.handleUpgrade(request, socket, head, (opened) => welcome(opened, remote));
    } else refuse(socket, isOurs ? '401 Unauthorized' : '403 Forbidden');
  });
}

/** Whoever does not close a refused connection has it closed. Its errors are heard at the door (`api/doors.ts`). */
function refuse(socket: Duplex, status: string): void {
  socket.end(`HTTP/1.1 ${status}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`, () => socket.destroy());
}

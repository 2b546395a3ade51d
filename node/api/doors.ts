import type { IncomingMessage, Server } from 'node:http';
import type { Socket } from 'node:net';
import { type Holder, Places } from './places.ts';

/**
 * Places for connections. A process may commonly have 1,024 descriptors, of which outputs, store and monitor want some hundred: these
 * leave more than half of them free. A browser opens six connections, a phone a few sockets besides.
 */
const STRANGERS = 128;
const KNOWN = 256;
const EACH = 24;

/**
 * Who may be connected to the web server. A connection is a stranger's until a request on it shows a token; strangers crowd out
 * strangers only, so that a paired phone gets in however many of them there are. (A plain cap would shut out whoever comes last.)
 */
export class Doors {
  readonly #strangers = new Places<Socket>(STRANGERS, EACH);
  readonly #known = new Places<Socket>(KNOWN, EACH);
  readonly #holderOf: (request: IncomingMessage) => Holder | undefined;

  constructor(holderOf: (request: IncomingMessage) => Holder | undefined) {
    this.#holderOf = holderOf;
  }

  /** To be called before anything else listens to the server. */
  guard(server: Server): void {
    server.on('connection', (socket) => this.#enter(socket));
    server.on('request', (request) => this.#recognise(request));
    server.on('upgrade', (request) => this.#recognise(request));
  }

  closeAll(): void {
    for (const socket of [...this.#strangers, ...this.#known]) socket.destroy();
  }

  #enter(socket: Socket): void {
    // Heard for as long as the socket lives: the server's own listener goes with an upgrade, and an error that nobody hears ends the process.
    socket.on('error', () => undefined);
    socket.on('close', () => {
      this.#strangers.leave(socket);
      this.#known.leave(socket);
    });
    this.#strangers.take(socket, { key: socket.remoteAddress ?? '', rank: 0 })?.destroy();
  }

  #recognise(request: IncomingMessage): void {
    const { socket } = request;
    const holder = this.#holderOf(request);
    if (holder === undefined || socket.destroyed) return;
    this.#strangers.leave(socket);
    this.#known.take(socket, holder)?.destroy();
  }
}

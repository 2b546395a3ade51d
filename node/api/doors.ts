import type { IncomingMessage, RequestListener, Server, ServerResponse } from 'node:http';
import type { Socket } from 'node:net';
import type { Clock } from '../core/ports.ts';
import { Allowances } from './allowance.ts';
import type { Refusal } from './contract.ts';
import { type Holder, Places } from './places.ts';

/**
 * Places for connections. A process may commonly have 1,024 descriptors, of which outputs, store and monitor want some hundred: these
 * leave more than half of them free. A browser opens six connections, a phone a few sockets besides.
 */
const STRANGERS = 128;
const KNOWN = 256;
const EACH = 24;

/** Requests that one address, or one remote that is no operator's, may make at once, and a second: a page and its parts are a dozen. */
const REQUESTS = 200;
const PER_SECOND = 10;
/** Requests on one connection that wait for their answers. Browsers send the next when they have the answer to the last. */
const UNANSWERED = 8;

const TOO_MUCH = JSON.stringify({ error: 'Too many requests; wait a little' } satisfies Refusal);

/**
 * Who may be connected to the web server, and how much they may ask. A connection is a stranger's until a request on it shows a token;
 * strangers crowd out strangers only, so that a paired phone gets in however many of them there are. (A plain cap would shut out whoever
 * comes last.) Operators and the node's own user may ask what they like; everybody else is refused here, before anything is looked up.
 */
export class Doors {
  readonly #strangers = new Places<Socket>(STRANGERS, EACH);
  readonly #known = new Places<Socket>(KNOWN, EACH);
  readonly #holderOf: (request: IncomingMessage) => Holder | undefined;
  readonly #clock: Clock;
  readonly #requests = new Allowances(REQUESTS, PER_SECOND);
  readonly #unanswered = new WeakMap<Socket, number>();

  constructor(holderOf: (request: IncomingMessage) => Holder | undefined, clock: Clock) {
    this.#holderOf = holderOf;
    this.#clock = clock;
  }

  /** Lets requests through to `serve`. To be called before anything else listens to the server. */
  guard(server: Server, serve: RequestListener): void {
    server.on('connection', (socket) => this.#enter(socket));
    server.on('request', (request, response) => {
      if (this.#admits(request, response)) serve(request, response);
    });
    server.on('upgrade', (request) => void this.#recognise(request));
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

  #recognise(request: IncomingMessage): Holder | undefined {
    const { socket } = request;
    const holder = this.#holderOf(request);
    if (holder === undefined || socket.destroyed) return holder;
    this.#strangers.leave(socket);
    this.#known.take(socket, holder)?.destroy();
    return holder;
  }

  #admits(request: IncomingMessage, response: ServerResponse): boolean {
    const { socket } = request;
    // What is left of a piece that came in one go is still read, for nobody.
    if (socket.destroyed) return false;
    const holder = this.#recognise(request);
    if (holder !== undefined && holder.rank >= 0) return true;
    const waiting = (this.#unanswered.get(socket) ?? 0) + 1;
    if (waiting > UNANSWERED) {
      socket.destroy();
      return false;
    }
    this.#unanswered.set(socket, waiting);
    response.on('close', () => this.#unanswered.set(socket, (this.#unanswered.get(socket) ?? 1) - 1));
    if (this.#requests.take(holder?.key ?? socket.remoteAddress ?? '', this.#clock.now())) return true;
    response.writeHead(429, { 'content-type': 'application/json', 'retry-after': '5', connection: 'close' }).end(TOO_MUCH);
    return false;
  }
}

import dgram from 'node:dgram';
import type { OpenUdp, UdpOptions, UdpSocket } from '../core/ports.ts';

const REOPEN_AFTER = 1000;

/** Addresses only: nothing to look up, so that a send reaches the kernel before it returns instead of a turn later. */
const noLookup = (
  address: string,
  options: unknown,
  done: (error: null, address: string, family: number) => void,
  family: number,
): void => (typeof options === 'function' ? (options as typeof done) : done)(null, address, family);

/**
 * Opens a socket that stays unconnected: a connected one dies for good when the machine's address changes. Failed sends are told through
 * one shared callback; a socket that cannot be opened, or that the system closes, is opened again a second later.
 */
export const openUdp: OpenUdp = (options) => openUdpBy(dgram.createSocket, options);

export const openUdpBy = (create: (options: dgram.SocketOptions) => dgram.Socket, options: UdpOptions): UdpSocket =>
  new ReopeningSocket(create, options).open();

class ReopeningSocket implements UdpSocket {
  readonly #create: (options: dgram.SocketOptions) => dgram.Socket;
  readonly #options: UdpOptions;
  readonly #sent: (error: Error | null) => void;
  #socket: dgram.Socket | undefined;
  #ready = false;
  #closed = false;
  /** Why there is no socket. */
  #failure: string | undefined;
  #timer: NodeJS.Timeout | undefined;

  constructor(create: (options: dgram.SocketOptions) => dgram.Socket, options: UdpOptions) {
    this.#create = create;
    this.#options = options;
    this.#sent = (error) => {
      if (error) options.onError(codeOf(error));
    };
  }

  open(): this {
    const { family, port, onMessage } = this.#options;
    const number = family === 'IPv6' ? 6 : 4;
    try {
      const socket = this.#create({
        type: family === 'IPv6' ? 'udp6' : 'udp4',
        // Several programs on one machine may listen to the same protocol.
        reuseAddr: port !== 0,
        ipv6Only: family === 'IPv6',
        lookup: (address, asked, done) => noLookup(address, asked, done, number),
      });
      this.#socket = socket;
      socket.on('error', (error) => this.#fail(error));
      if (onMessage !== undefined) socket.on('message', (data, from) => onMessage(data, from));
      socket.bind({ port, exclusive: true }, () => this.#prepare(socket));
    } catch (error) {
      this.#fail(error);
    }
    return this;
  }

  send(packet: Uint8Array, port: number, address: string): void {
    if (!this.#ready || this.#socket === undefined) {
      if (this.#failure !== undefined) this.#options.onError(this.#failure);
      return;
    }
    try {
      // The system takes no more for now: an interface that stalls. What would be kept here until it does would come late and all at once.
      if (this.#socket.getSendQueueCount() > 0) this.#options.onError('ENOBUFS');
      else this.#socket.send(packet, port, address, this.#sent);
    } catch (error) {
      this.#options.onError(codeOf(error));
    }
  }

  close(): void {
    this.#closed = true;
    clearTimeout(this.#timer);
    this.#drop();
  }

  #prepare(socket: dgram.Socket): void {
    const { broadcast = false, multicastInterface, multicastTtl, groups = [] } = this.#options;
    try {
      if (broadcast) socket.setBroadcast(true);
      if (multicastInterface !== undefined) socket.setMulticastInterface(multicastInterface);
      if (multicastTtl !== undefined) socket.setMulticastTTL(multicastTtl);
    } catch (error) {
      // The address has gone again between its being seen and now: the next change of links opens another socket.
      this.#fail(error);
      return;
    }
    for (const group of groups) {
      try {
        socket.addMembership(group, multicastInterface);
      } catch (error) {
        this.#options.onError(codeOf(error));
      }
    }
    this.#failure = undefined;
    this.#ready = true;
  }

  #fail(error: unknown): void {
    this.#failure = codeOf(error);
    this.#options.onError(this.#failure);
    this.#drop();
    if (this.#closed) return;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.open(), REOPEN_AFTER);
    this.#timer.unref();
  }

  #drop(): void {
    const socket = this.#socket;
    this.#socket = undefined;
    this.#ready = false;
    socket?.removeAllListeners('error');
    // A socket that fails while it closes has nothing left to tell.
    socket?.on('error', () => undefined);
    try {
      socket?.close();
    } catch {
      // Already closed.
    }
  }
}

const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : 'EUNKNOWN';

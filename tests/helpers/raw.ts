import { connect, type Socket } from 'node:net';

/** A connection without manners: bytes as they are, and the end as it is asked for. Errors are its own business. */
export class Raw {
  readonly socket: Socket;
  /** The other side has ended it. */
  readonly ended: Promise<void>;
  readonly #open: Promise<void>;
  readonly #answered: Promise<void>;
  #got = '';

  constructor(url: string, from = '127.0.0.1') {
    const { hostname, port } = new URL(url);
    this.socket = connect({ host: hostname, port: Number(port), localAddress: from, allowHalfOpen: true });
    this.socket.on('error', () => undefined);
    this.socket.on('data', (data) => {
      this.#got += data.toString('latin1');
    });
    const on = (...events: readonly string[]) =>
      new Promise<void>((done) => {
        for (const event of [...events, 'close']) this.socket.once(event, () => done());
      });
    this.#open = on('connect');
    this.#answered = on('data', 'end');
    this.ended = on('end');
  }

  get got(): string {
    return this.#got;
  }

  /** Says `bytes`, and resolves when the system has them. */
  async say(bytes: string | Uint8Array): Promise<this> {
    await this.#open;
    await new Promise<void>((done) => this.socket.write(bytes, () => done()));
    return this;
  }

  /** Resolves when anything has come, or the end. */
  async heard(): Promise<this> {
    await this.#answered;
    return this;
  }

  /** Ends with an RST instead of a goodbye. */
  reset(): void {
    this.socket.resetAndDestroy();
  }
}

/** A request for a WebSocket as a browser makes it (RFC 6455, section 4.1), with `headers` over what is usual. */
export function upgradeRequest(url: string, headers: Readonly<Record<string, string>> = {}, path = '/ws'): string {
  const all = {
    host: new URL(url).host,
    connection: 'Upgrade',
    upgrade: 'websocket',
    origin: url,
    'sec-websocket-version': '13',
    'sec-websocket-key': 'dGhlIHNhbXBsZSBub25jZQ==',
    ...headers,
  };
  const lines = Object.entries(all).map(([name, value]) => `${name}: ${value}\r\n`);
  return `GET ${path} HTTP/1.1\r\n${lines.join('')}\r\n`;
}

/** Bytes of one frame from a client (RFC 6455, section 5.2); the mask is all zero, so the payload stands as it is. */
export function clientFrame(opcode: number, payload: string | Uint8Array, { fin = true, masked = true } = {}): Buffer {
  const data = Buffer.from(payload);
  const length = data.length < 126 ? [data.length] : [126, data.length >> 8, data.length & 0xff];
  const [first = 0, ...rest] = length;
  return Buffer.concat([
    Buffer.from([(fin ? 0x80 : 0) | opcode, (masked ? 0x80 : 0) | first, ...rest]),
    ...(masked ? [Buffer.alloc(4)] : []),
    data,
  ]);
}

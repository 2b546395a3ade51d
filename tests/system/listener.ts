import { createSocket, type Socket } from 'node:dgram';
import { until } from '../helpers/node-process.ts';

/** Where fields of a data packet lie: ANSI E1.31-2018 Table 4-1. */
const SEQUENCE = 111;
const OPTIONS = 112;
const UNIVERSE = 113;
const SLOTS = 126;
/** Section 6.2.6, bit 6 of the options. */
const STREAM_TERMINATED = 0x40;

/**
 * An address of the loopback that nobody listens to and no other process of tests sends to: made of the number of this one, so that
 * a capture holds nothing of another run on the same machine.
 */
export const OWN_ADDRESS = `127.${100 + ((process.pid >> 14) & 127)}.${(process.pid >> 7) & 127}.${1 + (process.pid & 127)}`;

export interface Heard {
  /** Milliseconds since the epoch, when this process got it. */
  readonly at: number;
  readonly universe: number;
  readonly sequence: number;
  readonly terminated: boolean;
  /** Slot 1 at index 0. */
  readonly slots: readonly number[];
}

/** The plainest of sACN receivers: every data packet that comes to an address, taken apart by the table. */
export class Listener {
  /** The address to send to. */
  readonly address: string;
  readonly heard: Heard[] = [];
  readonly #socket: Socket;

  private constructor(address: string, socket: Socket) {
    this.address = address;
    this.#socket = socket;
    socket.on('message', (bytes) => this.heard.push(read(bytes)));
  }

  /** Listens on a free port of the loopback. */
  static async open(): Promise<Listener> {
    const socket = createSocket({ type: 'udp4', recvBufferSize: 4 * 2 ** 20 });
    await new Promise<void>((resolve) => socket.bind(0, '127.0.0.1', resolve));
    return new Listener(`127.0.0.1:${socket.address().port}`, socket);
  }

  /** Waits for a packet that `fits` among those that came after the first `after`. */
  next(what: string, fits: (packet: Heard) => boolean, after = this.heard.length): Promise<Heard> {
    return until(what, () => this.heard.slice(after).find(fits));
  }

  /** How many packets came from whoever has stopped sending: none of theirs is on its way any more. */
  async count(): Promise<number> {
    const marker = Buffer.alloc(SLOTS);
    const port = this.#socket.address().port;
    const before = this.heard.length;
    this.#socket.send(marker, port, '127.0.0.1');
    await this.next('packet of our own', ({ universe }) => universe === 0, before);
    return this.heard.length;
  }

  /** The first slots of a universe as they are on the wire now. */
  latest(universe = 1, slots = 4): readonly number[] | undefined {
    return this.heard.findLast((packet) => packet.universe === universe)?.slots.slice(0, slots);
  }

  close(): void {
    this.#socket.close();
  }
}

function read(bytes: Buffer): Heard {
  return {
    at: performance.timeOrigin + performance.now(),
    universe: bytes.readUInt16BE(UNIVERSE),
    sequence: bytes.readUInt8(SEQUENCE),
    terminated: (bytes.readUInt8(OPTIONS) & STREAM_TERMINATED) !== 0,
    slots: [...bytes.subarray(SLOTS)],
  };
}

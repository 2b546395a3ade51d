import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { createSocket } from 'node:dgram';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { newFolder, until } from './node-process.ts';

/** Discard (RFC 863): nobody answers there. Markers in the capture go to it. */
const MARKER_PORT = 9;
/** Wireshark takes sACN for what it is only when asked to (facts of `packet-acn.c`); zeros are shown as any other level. */
const SACN = ['--enable-heuristic', 'acn', '-o', 'acn.dmx_enable:TRUE', '-o', 'acn.dmx_display_zeros:TRUE'];

/** One line a packet, its fields between tabs, several values of a field between semicolons. */
const FORMAT = ['-T', 'fields', '-E', 'separator=/t', '-E', 'aggregator=;'];

/** A packet as the dissector understands it: the values of each field that was asked for. */
export type Dissected<Name extends string> = Readonly<Record<Name, readonly string[]>>;

/** Live capture on the loopback. Times are the kernel's. */
export class Capture {
  readonly #dumpcap: ChildProcess;
  #bytes: Buffer = Buffer.alloc(0);
  #complaint = '';
  #file = '';

  private constructor(dumpcap: ChildProcess) {
    this.#dumpcap = dumpcap;
    dumpcap.stdout?.on('data', (chunk: Buffer) => {
      this.#bytes = Buffer.concat([this.#bytes, chunk]);
    });
    dumpcap.stderr?.on('data', (chunk: Buffer) => {
      this.#complaint += chunk.toString();
    });
  }

  /** Captures what `filter` (in the language of pcap-filter) lets through, from when the promise resolves. */
  static async start(filter: string): Promise<Capture> {
    requireTshark();
    const capture = new Capture(
      spawn('dumpcap', ['-q', '-i', 'lo', '-f', `(${filter}) or udp dst port ${MARKER_PORT}`, '-w', '-']),
    );
    await capture.#mark();
    return capture;
  }

  /** Ends the capture behind the last packet that was sent before the call. */
  async end(): Promise<this> {
    await this.#mark();
    const ended = new Promise((resolve) => this.#dumpcap.once('close', resolve));
    this.#dumpcap.kill('SIGINT');
    await ended;
    this.#file = join(newFolder(), 'capture.pcapng');
    writeFileSync(this.#file, this.#bytes);
    return this;
  }

  /**
   * Has the dissector read the packets that `display` (a Wireshark display filter) picks.
   * `extra`: options of tshark, such as a port that shall be decoded as a protocol.
   */
  dissect<Name extends string>(fields: readonly Name[], display: string, extra: readonly string[] = []): Dissected<Name>[] {
    const columns = [...FORMAT, ...fields.flatMap((field) => ['-e', field])];
    const args = ['-r', this.#file, ...SACN, ...extra, '-Y', display, ...columns];
    const { status, stdout, stderr } = spawnSync('tshark', args, { maxBuffer: 2 ** 28, encoding: 'utf8' });
    if (status !== 0) throw new Error(`tshark: ${stderr}`);
    return stdout
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => {
        const cells = line.split('\t');
        return Object.fromEntries(fields.map((field, i) => [field, (cells[i] ?? '').split(';')])) as Record<Name, string[]>;
      });
  }

  /** Sends a datagram nobody wants, over and over, until the capture holds it: then it holds all that was sent before it. */
  async #mark(): Promise<void> {
    const marker = randomBytes(16);
    const socket = createSocket('udp4');
    try {
      await until('packet in the capture', () => {
        if (this.#dumpcap.exitCode !== null) throw new Error(`dumpcap cannot capture on lo: ${this.#complaint}`);
        socket.send(marker, MARKER_PORT, '127.0.0.1');
        return this.#bytes.includes(marker) ? true : undefined;
      });
    } finally {
      socket.close();
    }
  }
}

/** Slots as `acn.dmx.data` shows them: a line of column numbers, then `001-020: 48 D3 .. |`, in hexadecimal. */
export function slotsShown(lines: readonly string[]): number[] {
  return lines.slice(1).flatMap((line) => {
    const [, levels = ''] = line.split(':');
    return (levels.match(/[0-9A-F]+/gi) ?? []).map((level) => Number.parseInt(level, 16));
  });
}

function requireTshark(): void {
  for (const tool of ['tshark', 'dumpcap']) {
    if (spawnSync(tool, ['--version']).error !== undefined)
      throw new Error(`${tool} is missing: these tests let Wireshark's dissector read the wire. apt-get install tshark`);
  }
}

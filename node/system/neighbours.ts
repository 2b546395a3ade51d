import { closeSync, openSync, readSync } from 'node:fs';
import type { Neighbourhood } from '../core/ports.ts';

/** The ARP cache of the kernel, proc(5): a line a neighbour, the address from column 0, the flags in hexadecimal from 29, as `0x2`. */
const ARP_TABLE = '/proc/self/net/arp';
const FLAGS_AT = 31;
/** `ATF_COM` of arp(7): the hardware address is known. */
const COMPLETE = 0x02;
const LONGEST_TABLE = 256 * 1024;
/** A file that could not be opened, for want of descriptors say, is tried again after so long. */
const TRY_AGAIN = 1000;
const SPACE = 0x20;
const ONE = 0x31;

/** Of an interface, in /sys/class/net: `1` while it has a carrier, and its state by RFC 2863 as the kernel has it (`operstates` in its documentation). */
interface InterfaceFiles {
  readonly carrier: KeptFile;
  readonly state: KeptFile;
}

const stateOf = (content: Buffer | undefined): string => content?.toString('latin1').trim() ?? '';

/**
 * What Linux knows of the neighbours, from files that are kept open: reading them costs microseconds and no descriptor, so it goes on when
 * there are none left. Where a file cannot be read, all counts as known and as connected: then the kernel does as it likes.
 */
export class KernelNeighbourhood implements Neighbourhood {
  readonly #table = new KeptFile(ARP_TABLE, LONGEST_TABLE);
  readonly #interfaces = new Map<string, InterfaceFiles>();
  readonly #needles = new Map<string, Buffer>();
  #fresh = false;

  look(): void {
    this.#fresh = false;
  }

  state(address: string): 'known' | 'asked' | 'none' {
    if (!this.#fresh) this.#table.read();
    this.#fresh = true;
    const { content } = this.#table;
    if (content === undefined) return 'known';
    const line = content.indexOf(this.#needle(address));
    if (line === -1) return 'none';
    let flags = 0;
    for (let at = line + 1 + FLAGS_AT; content[at] !== SPACE && at < content.length; at++) {
      flags = flags * 16 + Number.parseInt(String.fromCharCode(content[at] ?? 0), 16);
    }
    return (flags & COMPLETE) === 0 ? 'asked' : 'known';
  }

  leads(name: string): boolean {
    const { carrier, state } = this.#filesOf(name);
    // An interface that is not up refuses the read with EINVAL.
    const code = carrier.read();
    if (code === undefined ? carrier.content?.[0] !== ONE : code === 'EINVAL') return false;
    // For a moment after a carrier is back the kernel still throws away what it is given; then the state changes. Virtual ones know none.
    return state.read() !== undefined || stateOf(state.content) === 'up' || stateOf(state.content) === 'unknown';
  }

  #filesOf(name: string): InterfaceFiles {
    const known = this.#interfaces.get(name);
    if (known !== undefined) return known;
    const file = (which: string, longest: number) => new KeptFile(`/sys/class/net/${name}/${which}`, longest);
    const files = { carrier: file('carrier', 4), state: file('operstate', 20) };
    this.#interfaces.set(name, files);
    return files;
  }

  /** What the line of an address begins with. */
  #needle(address: string): Buffer {
    const known = this.#needles.get(address);
    if (known !== undefined) return known;
    if (this.#needles.size > 1024) this.#needles.clear();
    const needle = Buffer.from(`\n${address} `);
    this.#needles.set(address, needle);
    return needle;
  }
}

/** A file of the kernel's that is read from its beginning again and again. */
class KeptFile {
  /** What was read last; undefined when it could not be. */
  content: Buffer | undefined;
  readonly #path: string;
  readonly #buffer: Buffer;
  #descriptor: number | undefined;
  #failedAt = Number.NEGATIVE_INFINITY;
  #failure: string | undefined;

  constructor(path: string, longest: number) {
    this.#path = path;
    this.#buffer = Buffer.alloc(longest);
  }

  /** @returns the system's code if it fails. */
  read(): string | undefined {
    if (this.#descriptor === undefined && performance.now() - this.#failedAt < TRY_AGAIN) return this.#failure;
    try {
      this.#descriptor ??= openSync(this.#path, 'r');
      this.#take(this.#descriptor);
      return undefined;
    } catch (error) {
      this.content = undefined;
      this.#failure = error instanceof Error && 'code' in error ? String(error.code) : 'EUNKNOWN';
      if (this.#descriptor === undefined) this.#failedAt = performance.now();
      // An interface that is down will be up again; one that is gone has another file when it is back.
      else if (this.#failure !== 'EINVAL') this.#close(this.#descriptor);
      return this.#failure;
    }
  }

  /** The kernel gives a page at a time. */
  #take(descriptor: number): void {
    let length = 0;
    for (let part = -1; part !== 0 && length < this.#buffer.length; length += part) {
      part = readSync(descriptor, this.#buffer, length, this.#buffer.length - length, length);
    }
    if (this.content?.length !== length) this.content = this.#buffer.subarray(0, length);
  }

  #close(descriptor: number): void {
    this.#descriptor = undefined;
    try {
      closeSync(descriptor);
    } catch {
      // Then it was closed already.
    }
  }
}

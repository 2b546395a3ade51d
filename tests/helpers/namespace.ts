import { type ChildProcess, execFile, execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { promisify } from 'node:util';

/** Only root can make network namespaces. */
export const isRoot = process.getuid?.() === 0;

/** Where a process runs: with the desk, or at the far end of the cable. */
export type Place = 'booth' | 'floor';

const BRIDGE = 'br0';
const END_WITHIN = 3000;
const execute = promisify(execFile);
let built = 0;

/** A process that the test started, with the lines that it has written so far. */
export interface Running {
  readonly process: ChildProcess;
  readonly out: string[];
  readonly errors: string[];
}

/**
 * Two network namespaces of the test's own, joined by one cable and to nothing else: in the booth it ends in `eth0`, on the floor in
 * `p0`, a port of the switch `br0`. So either end can lose its link, its address or the whole interface, and nobody else notices.
 */
export class Venue {
  readonly #names: Record<Place, string>;
  readonly #running = new Set<ChildProcess>();
  readonly #raze = (): void => {
    for (const child of this.#running) child.kill('SIGKILL');
    for (const name of Object.values(this.#names)) {
      try {
        execFileSync('ip', ['netns', 'del', name], { stdio: 'ignore' });
      } catch {
        // It was never made, or is gone already.
      }
    }
  };

  constructor() {
    const own = `duskhand-${process.pid}-${++built}`;
    this.#names = { booth: `${own}-booth`, floor: `${own}-floor` };
  }

  /** Makes both places, the floor with its switch and addresses. The cable is not in yet. */
  async build(floorAddresses: readonly string[]): Promise<void> {
    process.once('exit', this.#raze);
    for (const place of ['booth', 'floor'] as const) {
      await execute('ip', ['netns', 'add', this.#names[place]]);
      await this.ip(place, 'link', 'set', 'lo', 'up');
    }
    // A switch that forwards at once and does not wait for membership reports.
    await this.ip('floor', 'link', 'add', BRIDGE, 'type', 'bridge', 'forward_delay', '0', 'mcast_snooping', '0');
    for (const address of floorAddresses) await this.ip('floor', 'addr', 'add', address, 'dev', BRIDGE, 'nodad');
    await this.ip('floor', 'link', 'set', BRIDGE, 'up');
  }

  /** A new cable, a new `eth0`: without an address and not up. */
  async plugIn(): Promise<void> {
    const { booth, floor } = this.#names;
    await execute('ip', ['link', 'add', 'eth0', 'netns', booth, 'type', 'veth', 'peer', 'name', 'p0', 'netns', floor]);
    await this.ip('floor', 'link', 'set', 'p0', 'master', BRIDGE, 'up');
  }

  /** A new cable without the switch: what its far end hears it hears at once, and that end has the address. */
  async plugInDirectly(floorAddress: string): Promise<void> {
    const { booth, floor } = this.#names;
    await execute('ip', ['link', 'add', 'eth0', 'netns', booth, 'type', 'veth', 'peer', 'name', 'p0', 'netns', floor]);
    await this.ip('floor', 'addr', 'add', floorAddress, 'dev', 'p0');
    await this.ip('floor', 'link', 'set', 'p0', 'up');
  }

  async ip(place: Place, ...words: string[]): Promise<void> {
    await execute('ip', ['-n', this.#names[place], ...words]);
  }

  /** Runs a program to its end and gives what it printed. */
  async run(place: Place, program: string, ...words: string[]): Promise<string> {
    return (await execute('ip', this.#in(place, program, words))).stdout;
  }

  start(place: Place, program: string, ...words: string[]): Running {
    // `ip netns exec` becomes the program, so the process is the program's own.
    const child = spawn('ip', this.#in(place, program, words), { stdio: ['ignore', 'pipe', 'pipe'] });
    const running: Running = { process: child, out: [], errors: [] };
    createInterface(child.stdout).on('line', (line) => running.out.push(line));
    createInterface(child.stderr).on('line', (line) => running.errors.push(line));
    this.#running.add(child);
    return running;
  }

  /** Ends everything that was started here and takes the places away. */
  async tearDown(): Promise<void> {
    const living = [...this.#running].filter((child) => child.exitCode === null && child.signalCode === null);
    await Promise.all(
      living.map(async (child) => {
        const ended = once(child, 'exit');
        child.kill('SIGTERM');
        const late = setTimeout(() => child.kill('SIGKILL'), END_WITHIN);
        await ended;
        clearTimeout(late);
      }),
    );
    this.#raze();
    process.off('exit', this.#raze);
  }

  #in(place: Place, program: string, words: readonly string[]): string[] {
    return ['netns', 'exec', this.#names[place], program, ...words];
  }
}

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Status } from '../../node/api/local-contract.ts';
import { levelOf } from './lightness.ts';
import { type Running, Venue } from './namespace.ts';

const program = fileURLToPath(new URL('../../dist/node/main.js', import.meta.url));
const listener = fileURLToPath(new URL('./floor.mjs', import.meta.url));

/** What the two buttons set slot 1 to: 20 and 80 per cent of 255. */
const LEVELS = { low: 51, high: 204 };
const FLOOR = '10.77.0.2';

export interface Line {
  readonly id: string;
  /** What its log lines begin with. */
  readonly who: string;
  readonly universe: number;
  readonly settings: object;
}

/** One output of every kind, each with a universe of its own, so that the floor can tell them apart. */
export const lines = {
  multicast: { id: 'multicast', who: 'sACN output "multicast"', universe: 1, settings: { protocol: 'sacn' } },
  unicast: { id: 'unicast', who: 'sACN output "unicast"', universe: 2, settings: { protocol: 'sacn', to: [FLOOR] } },
  six: { id: 'six', who: 'sACN output "six"', universe: 3, settings: { protocol: 'sacn', family: 'IPv6' } },
  fixed: { id: 'fixed', who: 'Art-Net output "fixed"', universe: 4, settings: { protocol: 'artnet', to: [FLOOR] } },
  auto: { id: 'auto', who: 'Art-Net output "auto"', universe: 5, settings: { protocol: 'artnet' } },
} satisfies Record<string, Line>;

/** A lamp on slot 1 that a button sets, and one on slot 10 that never stands still, so that every frame goes out. */
function showOf(of: readonly Line[]): object {
  const lamp = { type: 'dimmer', mode: '1ch' };
  const still = { fade: 0, unattended: true };
  const look = (id: string, level: number) => ({ id, name: id, ...still, parts: [{ who: [{ use: 'uplight' }], level }] });
  const step = (level: number) => ({ length: { seconds: 0.5 }, fade: 1, parts: [{ who: [{ use: 'beam' }], level }] });
  return {
    format: 'duskhand-show',
    version: 4,
    id: 'faults',
    name: 'Faults',
    theme: { name: 'Plain', colours: [] },
    fixtures: of.flatMap(({ universe }) => [
      { id: `still-${universe}`, name: `Still ${universe}`, ...lamp, universe, address: 1, use: 'uplight' },
      { id: `moving-${universe}`, name: `Moving ${universe}`, ...lamp, universe, address: 10, use: 'beam' },
    ]),
    looks: [look('low', levelOf(LEVELS.low / 255)), look('high', levelOf(LEVELS.high / 255))],
    chases: [{ id: 'moving', name: 'moving', ...still, steps: [step(0), step(1)] }],
    buttons: ['low', 'high'].map((id) => ({ id, name: id, starts: [{ look: id }] })),
    start: [{ look: 'low' }, { chase: 'moving' }],
  };
}

const settingsOf = (of: readonly Line[]): object => ({
  format: 'duskhand-settings',
  version: 1,
  outputs: of.map(({ id, universe, settings }) => ({ id, universes: [universe], ...settings })),
});

export interface Datagram {
  readonly at: number;
  readonly protocol: string;
  readonly universe: number;
  readonly sequence: number;
  readonly level: number;
}

export const now = (): number => performance.timeOrigin + performance.now();
export const pause = (millis: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, millis));

export async function until(what: string, within: number, holds: () => boolean): Promise<void> {
  const latest = now() + within;
  while (!holds()) {
    if (now() > latest) throw new Error(`not within ${within} ms: ${what}`);
    await pause(10);
  }
}

/** The node in the booth, and somebody on the floor who notes what arrives. */
export class Evening {
  readonly venue = new Venue();
  readonly lines: readonly Line[];
  readonly #folder = mkdtempSync(join(tmpdir(), 'duskhand-faults-'));
  readonly #datagrams: Datagram[] = [];
  #read = 0;
  #status: Status['outputs'] = [];
  #button: keyof typeof LEVELS = 'low';
  #floor: Running | undefined;
  #node: Running | undefined;

  constructor(...carried: readonly Line[]) {
    this.lines = carried;
  }

  /** `by` a switch, or by the cable alone: a switch of the kernel's takes a second to forward again after its port was down. */
  async build(by: 'switch' | 'cable' = 'switch'): Promise<void> {
    await this.venue.build(by === 'switch' ? [`${FLOOR}/24`] : []);
    if (by === 'switch') await this.venue.plugIn();
    else await this.venue.plugInDirectly(`${FLOOR}/24`);
    const universes = this.lines.map(({ universe }) => universe).join(',');
    const end = by === 'switch' ? 'br0' : 'p0';
    const floor = this.venue.start('floor', process.execPath, listener, end, FLOOR, universes, String(lines.auto.universe));
    this.#floor = floor;
    await until('the floor listens', 5000, () => floor.out.includes('listening'));
  }

  async startNode(...more: string[]): Promise<void> {
    const file = join(this.#folder, 'show.json');
    const settings = join(this.#folder, 'settings.json');
    writeFileSync(file, JSON.stringify(showOf(this.lines)));
    writeFileSync(settings, JSON.stringify(settingsOf(this.lines)));
    await this.tell('settings', settings);
    const words = ['run', '--show', file, '--data', this.#folder, '--http', '127.0.0.1:0', '--fresh', ...more];
    const node = this.venue.start('booth', process.execPath, program, ...words);
    this.#node = node;
    await until('the node plays', 10_000, () => node.out.some((line) => line.startsWith('Playing ')));
  }

  async tearDown(): Promise<void> {
    await this.venue.tearDown();
    rmSync(this.#folder, { recursive: true, force: true });
  }

  /** A client command, run beside the node. */
  tell(...words: string[]): Promise<string> {
    return this.venue.run('booth', process.execPath, program, ...words, '--data', this.#folder);
  }

  /** Slot 1 of every universe as it was last pressed. */
  get level(): number {
    return LEVELS[this.#button];
  }

  /** Presses the other of the two buttons: whatever bears the level of before is stale from now on. */
  async pressOther(): Promise<void> {
    this.#button = this.#button === 'low' ? 'high' : 'low';
    await this.tell('press', this.#button);
  }

  async status(): Promise<Status['outputs']> {
    this.#status = (JSON.parse(await this.tell('status', '--json')) as Status).outputs;
    return this.#status;
  }

  /** What the last status said; none was asked for: nothing. */
  get lastStatus(): Status['outputs'] {
    return this.#status;
  }

  /** The status as soon as all of these outputs are in this state; else that of four seconds later. */
  async statusOnceAll(of: readonly Line[], state: Status['outputs'][number]['state'] = 'sending'): Promise<Status['outputs']> {
    for (const latest = now() + 4000; ; ) {
      const outputs = await this.status();
      const all = of.every(({ id }) => outputs.find((one) => one.id === id)?.state === state);
      if (all || now() > latest) return outputs;
    }
  }

  /** What has arrived for a universe since an instant. */
  heard({ universe }: Line, since: number): Datagram[] {
    const out = this.#floor?.out ?? [];
    for (const text of out.slice(this.#read)) {
      const [at, protocol = '', ...numbers] = text.split(' ');
      const [number = 0, sequence = 0, level = 0] = numbers.map(Number);
      if (numbers.length > 0) this.#datagrams.push({ at: Number(at), protocol, universe: number, sequence, level });
    }
    this.#read = out.length;
    return this.#datagrams.filter((one) => one.at >= since && one.universe === universe);
  }

  get log(): readonly string[] {
    return this.#node?.errors ?? [];
  }

  get runs(): boolean {
    return this.#node?.process.exitCode === null && this.#node.process.signalCode === null;
  }
}

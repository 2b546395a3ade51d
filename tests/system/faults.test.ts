import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Status } from '../../node/api/contract.ts';
import { isRoot, type Running, Venue } from '../helpers/namespace.ts';

const program = fileURLToPath(new URL('../../dist/node/main.js', import.meta.url));
const listener = fileURLToPath(new URL('../helpers/floor.mjs', import.meta.url));

/** Levels of slot 1 before a fault and after it: 20 and 80 per cent of 255. Whatever bears the old one afterwards is stale. */
const OLD = 51;
const NEW = 204;
const FLOOR = '10.77.0.2';

interface Line {
  readonly id: string;
  /** What its log lines begin with. */
  readonly who: string;
  readonly universe: number;
  readonly settings: object;
}

/** One output of every kind, each with a universe of its own, so that the floor can tell them apart. */
const lines: readonly Line[] = [
  { id: 'multicast', who: 'sACN output "multicast"', universe: 1, settings: { protocol: 'sacn' } },
  { id: 'unicast', who: 'sACN output "unicast"', universe: 2, settings: { protocol: 'sacn', to: [FLOOR] } },
  { id: 'six', who: 'sACN output "six"', universe: 3, settings: { protocol: 'sacn', family: 'IPv6' } },
  { id: 'fixed', who: 'Art-Net output "fixed"', universe: 4, settings: { protocol: 'artnet', to: [FLOOR] } },
  // Last, because the socket that was opened last gets the answers to polls.
  { id: 'auto', who: 'Art-Net output "auto"', universe: 5, settings: { protocol: 'artnet' } },
];
const ofFour = lines.filter(({ id }) => id !== 'six');

/** A lamp on slot 1 that a button sets, and one on slot 10 that never stands still, so that every frame goes out. */
function showOf(of: readonly Line[]): object {
  const lamp = { type: 'dimmer', mode: '1ch' };
  const still = { fade: 0, unattended: true };
  const look = (id: string, level: number) => ({ id, name: id, ...still, parts: [{ who: [{ use: 'uplight' }], level }] });
  const step = (level: number) => ({ length: { seconds: 0.5 }, fade: 1, parts: [{ who: [{ use: 'beam' }], level }] });
  return {
    format: 'duskhand-show',
    version: 1,
    id: 'faults',
    name: 'Faults',
    theme: { name: 'Plain', colours: [] },
    fixtures: of.flatMap(({ universe }) => [
      { id: `still-${universe}`, name: `Still ${universe}`, ...lamp, universe, address: 1, use: 'uplight' },
      { id: `moving-${universe}`, name: `Moving ${universe}`, ...lamp, universe, address: 10, use: 'beam' },
    ]),
    looks: [look('old', OLD / 255), look('new', NEW / 255)],
    chases: [{ id: 'moving', name: 'moving', ...still, steps: [step(0), step(1)] }],
    buttons: ['old', 'new'].map((id) => ({ id, name: id, starts: [{ look: id }] })),
    start: [{ look: 'old' }, { chase: 'moving' }],
    outputs: of.map(({ id, universe, settings }) => ({ id, universes: [universe], ...settings })),
  };
}

interface Datagram {
  readonly at: number;
  readonly protocol: string;
  readonly universe: number;
  readonly sequence: number;
  readonly level: number;
}

const now = (): number => performance.timeOrigin + performance.now();
const pause = (millis: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, millis));

async function until(what: string, within: number, holds: () => boolean): Promise<void> {
  const latest = now() + within;
  while (!holds()) {
    if (now() > latest) throw new Error(`not within ${within} ms: ${what}`);
    await pause(10);
  }
}

/** The node in the booth, and somebody on the floor who notes what arrives. */
class Evening {
  readonly venue = new Venue();
  readonly #of: readonly Line[];
  readonly #folder = mkdtempSync(join(tmpdir(), 'duskhand-faults-'));
  readonly #datagrams: Datagram[] = [];
  #read = 0;
  #floor: Running | undefined;
  #node: Running | undefined;

  constructor(of: readonly Line[]) {
    this.#of = of;
  }

  async build(): Promise<void> {
    await this.venue.build([`${FLOOR}/24`]);
    await this.venue.plugIn();
    const universes = this.#of.map(({ universe }) => universe).join(',');
    const floor = this.venue.start('floor', process.execPath, listener, 'br0', FLOOR, universes, '5');
    this.#floor = floor;
    await until('the floor listens', 5000, () => floor.out.includes('listening'));
  }

  async startNode(...more: string[]): Promise<void> {
    const file = join(this.#folder, 'show.json');
    writeFileSync(file, JSON.stringify(showOf(this.#of)));
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

  async status(): Promise<Status['outputs']> {
    return (JSON.parse(await this.tell('status', '--json')) as Status).outputs;
  }

  /** The status as soon as none of these outputs is failing or waiting; else that of four seconds later. */
  async statusOnceAllSend(of: readonly Line[]): Promise<Status['outputs']> {
    for (const latest = now() + 4000; ; ) {
      const outputs = await this.status();
      const all = of.every(({ id }) => outputs.find((one) => one.id === id)?.state === 'sending');
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

interface Fault {
  readonly name: string;
  /** Whom it hits; everybody unless told. */
  readonly hits?: readonly Line[];
  readonly strike: (venue: Venue) => Promise<unknown>;
  readonly heal: (venue: Venue) => Promise<unknown>;
  /** What an output is said to do meanwhile. */
  readonly state: 'waiting' | 'failing';
  readonly trouble: RegExp;
  readonly healing: RegExp;
}

const link = { state: 'waiting', trouble: /: no way out by /, healing: /: every way out is there again\.$/ } as const;
const sends = {
  state: 'failing',
  trouble: /: the firewall of this computer refuses the send \(EPERM\)\. /,
  healing: /: sends go through again /,
} as const;
const eth0 =
  (...words: string[]) =>
  (venue: Venue) =>
    venue.ip('booth', 'link', 'set', 'eth0', ...words);
const address = (verb: 'add' | 'del', which: string) => (venue: Venue) => venue.ip('booth', 'addr', verb, which, 'dev', 'eth0');
const nft = (venue: Venue, text: string) => venue.run('booth', 'nft', text);
const wall = (verdict: 'drop' | 'reject') => async (venue: Venue) => {
  await nft(venue, 'add table inet wall; add chain inet wall out { type filter hook output priority 0; }');
  await nft(venue, `add rule inet wall out udp dport { 5568, 6454 } ${verdict}`);
};
const noWall = (venue: Venue) => nft(venue, 'delete table inet wall');

const faults: readonly Fault[] = [
  { name: 'the interface is taken down', ...link, strike: eth0('down'), heal: eth0('up') },
  {
    name: 'the cable is out at the far end',
    ...link,
    strike: (venue) => venue.ip('floor', 'link', 'set', 'p0', 'down'),
    heal: (venue) => venue.ip('floor', 'link', 'set', 'p0', 'up'),
  },
  {
    name: 'the address goes and another comes',
    ...link,
    hits: ofFour,
    strike: address('del', '10.77.0.1/24'),
    heal: address('add', '10.77.0.9/24'),
  },
  {
    name: 'the interface is removed and made anew',
    ...link,
    strike: (venue) => venue.ip('booth', 'link', 'del', 'eth0'),
    heal: async (venue) => {
      await venue.plugIn();
      await address('add', '10.77.0.9/24')(venue);
      await eth0('up')(venue);
    },
  },
  { name: 'a firewall swallows the packets', ...sends, strike: wall('drop'), heal: noWall },
  { name: 'a firewall rejects the packets', ...sends, strike: wall('reject'), heal: noWall },
];

/** An IPv6 address may not be used before it was looked for elsewhere: up to 1 s of delay and 1 s of waiting (RFC 4862 section 5.4). */
const healsWithin = ({ id }: Line): number => (id === 'six' ? 3000 : 2000);
/** Links are looked at every 100 ms; what was sent meanwhile the kernel may keep: four frames at 40 a second, and one on the edge. */
const STALE_FRAMES = 5;
/** At 40 a second, with one on the edge and three that waited together until the receiver's address was known. */
const FRAMES_IN_200_MS = 12;

/** Steps from one sequence number to the next; sACN counts 0..255 (E1.31-2018 section 6.2.5), Art-Net 1..255. */
const stepsOf = (datagrams: readonly Datagram[]): number[] =>
  datagrams.slice(1).map(({ protocol, sequence }, i) => {
    const numbers = protocol === 'sacn' ? 256 : 255;
    return (sequence - (datagrams[i]?.sequence ?? 0) + numbers) % numbers;
  });

describe.skipIf(!isRoot)(`a running node${isRoot ? '' : ' (skipped: only root can make network namespaces)'}`, () => {
  const evening = new Evening(lines);

  beforeAll(async () => {
    await evening.build();
    await address('add', '10.77.0.1/24')(evening.venue);
    await eth0('up')(evening.venue);
    const start = now();
    await evening.startNode();
    await until('every universe arrives', 5000, () => lines.every((line) => evening.heard(line, start).length > 0));
  });
  afterAll(() => evening.tearDown());

  it.each(faults)('outlives it when $name', async ({ strike, heal, hits = lines, state, trouble, healing }) => {
    const { venue } = evening;
    await evening.tell('press', 'old');
    const pressed = now();
    await until('all is as before', 2000, () => lines.every((line) => evening.heard(line, pressed).at(-1)?.level === OLD));
    const before = await evening.status();
    const logBefore = evening.log.length;

    await strike(venue);
    const gone = now();
    await evening.tell('press', 'new');
    const during = await evening.status();
    await pause(Math.max(0, gone + 1200 - now()));
    const healedAt = now();
    for (const line of hits) expect(evening.heard(line, gone + 50), `${line.id} is cut off`).toEqual([]);
    await heal(venue);

    for (const line of hits) {
      await until(`${line.id} arrives again`, healedAt + healsWithin(line) - now(), () => evening.heard(line, healedAt).length > 0);
    }
    const linesOf = ({ who }: Line): string[] => evening.log.slice(logBefore).filter((text) => text.startsWith(who));
    await until('the log tells of the healing', 4000, () => hits.every((line) => linesOf(line).some((text) => healing.test(text))));
    const after = await evening.statusOnceAllSend(hits);

    expect(evening.runs).toBe(true);
    for (const line of hits) {
      const { id } = line;
      const arrived = evening.heard(line, healedAt);
      const stale = arrived.findIndex(({ level }) => level === NEW);
      const fresh = arrived.slice(stale);
      expect(stale, `${id}: stale frames`).toBeGreaterThanOrEqual(0);
      expect(stale, `${id}: stale frames`).toBeLessThanOrEqual(STALE_FRAMES);
      expect(new Set(fresh.map(({ level }) => level)), `${id}: levels`).toEqual(new Set([NEW]));
      expect(new Set(stepsOf(fresh)), `${id}: order`).toEqual(new Set([1]));
      const [first] = fresh;
      expect(fresh.filter(({ at }) => at < (first?.at ?? 0) + 200).length, `${id}: burst`).toBeLessThanOrEqual(FRAMES_IN_200_MS);

      expect(during.find((one) => one.id === id)?.state, `${id}: state meanwhile`).toBe(state);
      expect(after.find((one) => one.id === id)?.state, `${id}: state`).toBe('sending');
      const lost = (outputs: Status['outputs']): number => {
        const { dropped = 0, errors = [] } = outputs.find((one) => one.id === id) ?? {};
        return dropped + errors.reduce((sum, { count }) => sum + count, 0);
      };
      // Of the frames that could not go, at 40 a second, all are counted; some may have been on their way.
      expect(lost(after) - lost(before), `${id}: counted`).toBeGreaterThan(((healedAt - gone) / 1000) * 40 * 0.8);
      expect(linesOf(line), `${id}: log`).toEqual([expect.stringMatching(trouble), expect.stringMatching(healing)]);
    }
    const untouched = lines.filter((line) => !hits.includes(line));
    for (const line of untouched) expect(linesOf(line), line.id).toEqual([]);
  });

  it('drops what a stalled interface does not take, and says so', async () => {
    const { venue } = evening;
    const failing = async (): Promise<boolean> => (await evening.status()).every(({ state }) => state === 'failing');
    const tc = (...words: string[]) => venue.run('booth', 'tc', 'qdisc', ...words);

    // A byte a second: the kernel holds some 170 packets for every socket, and takes no more.
    await tc('add', 'dev', 'eth0', 'root', 'tbf', 'rate', '8bit', 'burst', '1600', 'limit', '100000000');
    for (const latest = now() + 15_000; !(await failing()); ) expect(now()).toBeLessThan(latest);
    const healedAt = now();
    // What the kernel held is lost with the queue; only what the node had kept by itself could still come.
    await tc('del', 'dev', 'eth0', 'root');
    // Polls were held up as well: should the floor count as gone by now, the next one finds it again.
    for (const line of lines) await until(`${line.id} arrives again`, 4000, () => evening.heard(line, healedAt).length > 0);
    const after = await evening.statusOnceAllSend(lines);

    for (const line of lines) {
      const arrived = evening.heard(line, healedAt);
      const burst = arrived.filter(({ at }) => at < (arrived[0]?.at ?? 0) + 200);
      expect(burst.length, `${line.id}: burst`).toBeLessThanOrEqual(FRAMES_IN_200_MS);
      expect(new Set(stepsOf(arrived)), `${line.id}: order`).toEqual(new Set([1]));
      const { state, errors = [] } = after.find(({ id }) => id === line.id) ?? {};
      expect(state, line.id).toBe('sending');
      expect(errors.find(({ code }) => code === 'ENOBUFS')?.count, line.id).toBeGreaterThan(0);
    }
  });
});

describe.skipIf(!isRoot).each([
  { told: 'to send by eth0 only', words: ['--interface', 'eth0'], awaits: ofFour },
  // Where no other interface was ever seen, multicast and polls go to this computer, for whoever tries things out at home.
  { told: 'nothing of interfaces', words: [], awaits: ofFour.filter(({ settings }) => 'to' in settings) },
])('a node that starts before its address is there, told $told', ({ words, awaits }) => {
  const evening = new Evening(ofFour);

  beforeAll(() => evening.build());
  afterAll(() => evening.tearDown());

  it('waits, and plays by itself when the address comes', async () => {
    const { venue } = evening;
    await eth0('addrgenmode', 'none')(venue);
    await eth0('up')(venue);
    await evening.startNode(...words);
    await pause(600);
    const waiting = (await evening.status()).filter(({ state }) => state === 'waiting').map(({ id }) => id);
    expect(waiting).toEqual(expect.arrayContaining(awaits.map(({ id }) => id)));
    for (const line of ofFour) expect(evening.heard(line, 0), line.id).toEqual([]);

    const came = now();
    await address('add', '10.77.0.1/24')(venue);
    for (const line of ofFour) await until(`${line.id} arrives`, came + 2000 - now(), () => evening.heard(line, came).length > 0);
    expect((await evening.statusOnceAllSend(ofFour)).map(({ state }) => state)).toEqual(ofFour.map(() => 'sending'));
    for (const { who } of awaits) {
      // That no node has answered yet may be told as well, once the time for answers is over.
      expect(evening.log.filter((text) => text.startsWith(who) && !text.includes(' node takes '))).toEqual([
        expect.stringMatching(link.trouble),
        expect.stringMatching(link.healing),
      ]);
    }
    expect(evening.runs).toBe(true);
  });
});

import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Status } from '../../node/api/local-contract.ts';
import { type Datagram, Evening, type Line, lines, now, pause, until } from '../helpers/evening.ts';
import { isRoot, type Venue } from '../helpers/namespace.ts';

const { multicast, unicast, six, fixed, auto } = lines;

interface Fault {
  readonly name: string;
  /** It leaves IPv6 alone. */
  readonly onlyIpv4?: true;
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
  trouble: /: the system or its firewall refuses this \(EPERM\)\. /,
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
    onlyIpv4: true,
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
const healsWithin = (line: Line): number => (line === six ? 3000 : 2000);
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

/** The night goes on through a fault: nothing is sent late, what is back is the present, and the operator is told once each way. */
async function outlive(evening: Evening, { strike, heal, onlyIpv4, state, trouble, healing }: Fault): Promise<void> {
  const { venue } = evening;
  const hits = evening.lines.filter((line) => line !== six || onlyIpv4 === undefined);
  const before = evening.lastStatus;
  for (const line of evening.lines) expect(evening.heard(line, 0).at(-1)?.level, line.id).toBe(evening.level);
  const logBefore = evening.log.length;

  await strike(venue);
  const gone = now();
  await evening.pressOther();
  const during = await evening.statusOnceAll(hits, state);
  await pause(Math.max(0, gone + 1200 - now()));
  const healedAt = now();
  for (const line of hits) expect(evening.heard(line, gone + 50), `${line.id} is cut off`).toEqual([]);
  await heal(venue);

  for (const line of hits) {
    await until(`${line.id} arrives again`, healedAt + healsWithin(line) - now(), () => evening.heard(line, healedAt).length > 0);
  }
  const linesOf = ({ who }: Line): string[] => evening.log.slice(logBefore).filter((text) => text.startsWith(who));
  await until('the log tells of the healing', 4000, () => hits.every((line) => linesOf(line).some((text) => healing.test(text))));
  const after = await evening.statusOnceAll(hits);

  expect(evening.runs).toBe(true);
  for (const line of hits) {
    const { id } = line;
    const arrived = evening.heard(line, healedAt);
    const stale = arrived.findIndex(({ level }) => level === evening.level);
    const fresh = arrived.slice(stale);
    expect(stale, `${id}: stale frames`).toBeGreaterThanOrEqual(0);
    expect(stale, `${id}: stale frames`).toBeLessThanOrEqual(STALE_FRAMES);
    expect(new Set(fresh.map(({ level }) => level)), `${id}: levels`).toEqual(new Set([evening.level]));
    expect(new Set(stepsOf(fresh)), `${id}: order`).toEqual(new Set([1]));
    const [first] = fresh;
    expect(fresh.filter(({ at }) => at < (first?.at ?? 0) + 200).length, `${id}: burst`).toBeLessThanOrEqual(FRAMES_IN_200_MS);

    expect(during.find((one) => one.id === id)?.state, `${id}: state meanwhile`).toBe(state);
    expect(after.find((one) => one.id === id)?.state, `${id}: state`).toBe('sending');
    const lost = (outputs: Status['outputs']): number => {
      const { dropped = 0, errors = [] } = outputs.find((one) => one.id === id) ?? {};
      return dropped + errors.reduce((sum, { count }) => sum + count, 0);
    };
    // Some 40 frames a second could not go; on a busy machine they are fewer.
    expect(lost(after) - lost(before), `${id}: counted`).toBeGreaterThan(((healedAt - gone) / 1000) * 20);
    expect(linesOf(line), `${id}: log`).toEqual([expect.stringMatching(trouble), expect.stringMatching(healing)]);
  }
  for (const line of evening.lines) if (!hits.includes(line)) expect(linesOf(line), line.id).toEqual([]);
}

/** An interface that takes the packets and sends them nowhere, as one does that has hung. */
async function outliveStall(evening: Evening): Promise<void> {
  const { venue } = evening;
  // Should the kernel have to ask for the receiver meanwhile, its question is held up as well, and nothing is sent there.
  const failing = async (): Promise<boolean> => (await evening.status()).every(({ state }) => state !== 'sending');
  const tc = (...words: string[]) => venue.run('booth', 'tc', 'qdisc', ...words);

  // A byte a second: the kernel holds some 170 packets for every socket, and takes no more.
  await tc('add', 'dev', 'eth0', 'root', 'tbf', 'rate', '8bit', 'burst', '1600', 'limit', '100000000');
  for (const latest = now() + 15_000; !(await failing()); ) expect(now()).toBeLessThan(latest);
  const healedAt = now();
  // What the kernel held is lost with the queue; only what the node had kept by itself could still come.
  await tc('del', 'dev', 'eth0', 'root');
  for (const line of evening.lines) {
    // Polls were held up as well: should the floor count as gone by now, the next one finds it again.
    await until(`${line.id} arrives again`, 4000, () => evening.heard(line, healedAt).length > 0);
  }
  const after = await evening.statusOnceAll(evening.lines);

  for (const line of evening.lines) {
    const arrived = evening.heard(line, healedAt);
    const burst = arrived.filter(({ at }) => at < (arrived[0]?.at ?? 0) + 200);
    expect(burst.length, `${line.id}: burst`).toBeLessThanOrEqual(FRAMES_IN_200_MS);
    expect(new Set(stepsOf(arrived)), `${line.id}: order`).toEqual(new Set([1]));
    const { state, errors = [] } = after.find(({ id }) => id === line.id) ?? {};
    expect(state, line.id).toBe('sending');
    const refused = errors.find(({ code }) => code === 'ENOBUFS')?.count ?? 0;
    expect(refused + (after.find(({ id }) => id === line.id)?.dropped ?? 0), line.id).toBeGreaterThan(0);
  }
}

describe.skipIf(!isRoot)(`a running node${isRoot ? '' : ' (skipped: only root can make network namespaces)'}`, () => {
  // Two, since a node has one Art-Net output.
  const evenings = [new Evening(multicast, unicast, six, fixed), new Evening(auto)];
  const onEach = async (act: (evening: Evening) => Promise<void>): Promise<void> => {
    await Promise.all(evenings.map(act));
  };

  beforeAll(() =>
    onEach(async (evening) => {
      await evening.build();
      await address('add', '10.77.0.1/24')(evening.venue);
      await eth0('up')(evening.venue);
      const start = now();
      await evening.startNode();
      await until('every universe arrives', 5000, () => evening.lines.every((line) => evening.heard(line, start).length > 0));
    }),
  );
  afterAll(() => onEach((evening) => evening.tearDown()));

  it.each(faults)('outlives it when $name', (fault) => onEach((evening) => outlive(evening, fault)));

  it('drops what a stalled interface does not take, and says so', () => onEach(outliveStall));
});

/**
 * Linux forgets the hardware addresses of neighbours when a carrier goes, and asks for them again only a second after a question that was
 * lost; what is sent meanwhile it keeps.
 */
describe.skipIf(!isRoot)('a cut of 20 ms', () => {
  const evenings = [new Evening(multicast, unicast, fixed), new Evening(auto)];
  /** The cut of some 30 ms and two frames at 40 a second; four times that on a busy machine, and far from the second of a lost question. */
  const LONGEST_GAP = 320;
  /** Datagrams in 10 ms; on a busy machine the receiver takes in several frames at once. */
  const LARGEST_BURST = 8;

  beforeAll(() =>
    Promise.all(
      evenings.map(async (evening) => {
        await evening.build('cable');
        await address('add', '10.77.0.1/24')(evening.venue);
        await eth0('up')(evening.venue);
        await evening.startNode();
        await until('every universe arrives', 5000, () => evening.lines.every((line) => evening.heard(line, 0).length > 0));
      }),
    ),
  );
  afterAll(() => Promise.all(evenings.map((evening) => evening.tearDown())));

  it('costs a frame or two, and nothing old comes after it', async () => {
    // The venues have nothing to do with each other: one cable is cut while the other is watched.
    const cutOf = async (evening: Evening, cut: number): Promise<void> => {
      const since = now() - 200;
      await evening.venue.run('floor', 'sh', '-c', 'ip link set p0 down; sleep 0.02; ip link set p0 up');
      await pause(1500);
      for (const line of evening.lines) {
        const times = evening.heard(line, since).map(({ at }) => at);
        const gaps = [...times.slice(1), now()].map((at, i) => at - (times[i] ?? since));
        expect(Math.max(...gaps.slice(0, -1)), `${line.id}: longest gap, cut ${cut}`).toBeLessThan(LONGEST_GAP);
        const bursts = times.map((at, i) => times.slice(i).filter((other) => other < at + 10).length);
        expect(Math.max(...bursts), `${line.id}: largest burst, cut ${cut}`).toBeLessThan(LARGEST_BURST);
      }
    };
    for (let cut = 0; cut < 5; cut++) await Promise.all(evenings.map((evening) => cutOf(evening, cut)));
    for (const { runs } of evenings) expect(runs).toBe(true);
  });
});

describe.skipIf(!isRoot).each([
  {
    told: 'to send by eth0 only',
    words: ['--interface', 'eth0'],
    carried: [multicast, unicast, auto],
    waits: [multicast, unicast, auto],
  },
  // Where no other interface was ever seen, multicast and polls go to this computer, for whoever tries things out at home.
  { told: 'nothing of interfaces', words: [], carried: [multicast, unicast, fixed], waits: [unicast, fixed] },
])('a node that starts before its address is there, told $told', ({ words, carried, waits }) => {
  const evening = new Evening(...carried);

  beforeAll(() => evening.build());
  afterAll(() => evening.tearDown());

  it('waits, and plays by itself when the address comes', async () => {
    const { venue } = evening;
    await eth0('addrgenmode', 'none')(venue);
    await eth0('up')(venue);
    await evening.startNode(...words);
    await pause(600);
    const first = await evening.statusOnceAll(waits, 'waiting');
    const waiting = first.filter(({ state }) => state === 'waiting').map(({ id }) => id);
    expect(waiting).toEqual(expect.arrayContaining(waits.map(({ id }) => id)));
    for (const line of carried) expect(evening.heard(line, 0), line.id).toEqual([]);

    const came = now();
    await address('add', '10.77.0.1/24')(venue);
    for (const line of carried) await until(`${line.id} arrives`, came + 2000 - now(), () => evening.heard(line, came).length > 0);
    expect((await evening.statusOnceAll(carried)).map(({ state }) => state)).toEqual(carried.map(() => 'sending'));
    for (const { who } of waits) {
      // That no node has answered yet may be told as well, once the time for answers is over.
      expect(evening.log.filter((text) => text.startsWith(who) && !text.includes(' node takes '))).toEqual([
        expect.stringMatching(link.trouble),
        expect.stringMatching(link.healing),
      ]);
    }
    expect(evening.runs).toBe(true);
  });
});

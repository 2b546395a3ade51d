import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { type Heard, Listener } from './listener.ts';
import { swayingShow } from './plain-show.ts';

/** Frames a second, unless told otherwise. */
const RATE = 40;
/** The share of them that must come, and how long none may: a fifth of the time after which receivers take a source for lost (E1.31-2018 Appendix A). */
const ENOUGH = 0.85;
const LONGEST = 500;

let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

const UNIVERSES = [1, 2, 3, 4];
const yoke = swayingShow.fixtures.find(({ id }) => id === 'yoke');

/** A yoke in every universe, and all of them sway: every frame of every universe goes out. */
const show = {
  ...swayingShow,
  fixtures: [
    ...swayingShow.fixtures,
    ...UNIVERSES.filter((universe) => universe !== 2).map((universe) => ({
      ...yoke,
      ...{ id: `yoke-${universe}`, name: `Yoke ${universe}`, universe, address: 101 },
    })),
  ],
  chases: swayingShow.chases.map((chase) => ({
    ...chase,
    steps: chase.steps.map((step) => ({
      ...step,
      parts: step.parts.map((part) => ('aim' in part ? { ...part, who: [{ use: 'spot' }] } : part)),
    })),
  })),
};

/** Hundreds of looks that nobody asked for, some four kilobytes each. */
const heavy = (looks: number) => ({
  ...show,
  looks: [
    ...show.looks,
    ...Array.from({ length: looks }, (_, i) => ({
      id: `look-${i}`,
      name: `Look ${i}`,
      parts: Array.from({ length: 100 }, (_, k) => ({ who: [{ fixture: `lamp-${1 + (k % 4)}` }], level: ((i + k) % 11) / 10 })),
    })),
  ],
});

const milliseconds = () => performance.timeOrigin + performance.now();
const post = async (node: NodeProcess, body: string) => (await node.ask('show', { method: 'POST', body })).status;

/** Waits until everything sways and no packet of the first strides is among those that come. */
async function swaying(): Promise<void> {
  const counted = (universe: number) => wire.heard.filter((packet) => packet.universe === universe).length;
  await until('movement', () => (wire.heard.some(({ universe, slots }) => universe === 2 && slots[0] !== 51) ? true : undefined));
  await until('packets', () => (UNIVERSES.every((universe) => counted(universe) > 10) ? true : undefined));
}

/** What is wrong with the packets of some time: nothing, if every frame of every universe came and none twice. */
function wrongIn(packets: readonly Heard[], from: number, to: number): string[] {
  const due = (RATE * (to - from)) / 1000;
  return UNIVERSES.flatMap((universe) => {
    const own = packets.filter((packet) => packet.universe === universe && packet.at >= from && packet.at <= to);
    const steps = own.slice(1).map(({ sequence }, i) => (sequence - (own[i] as Heard).sequence + 256) % 256);
    const gaps = own.slice(1).map(({ at }, i) => at - (own[i] as Heard).at);
    return [
      // The machine that runs the tests is busy too: some frames are late, and those that should have come in between are not made up for.
      ...(own.length < due * ENOUGH ? [`${own.length} of ${Math.round(due)} frames of ${universe}`] : []),
      ...(steps.some((step) => step !== 1) ? [`a gap in the sequence of ${universe}`] : []),
      ...(Math.max(...gaps) > LONGEST ? [`${Math.round(Math.max(...gaps))} ms without ${universe}`] : []),
    ];
  });
}

/** Every frame came in this time. And would half of them be missing, made or lost, or one universe, it would have been seen. */
function expectFrames(what: string, from: number, to: number): void {
  const { heard } = wire;
  const own = heard.filter(({ universe, at }) => universe === 2 && at >= from && at <= to);
  process.stdout.write(`${what}: ${own.length} frames in ${((to - from) / 1000).toFixed(1)} s\n`);
  expect(wrongIn(heard, from, to)).toEqual([]);
  const lost = heard.filter(({ sequence }) => sequence % 2 === 0);
  expect(wrongIn(lost, from, to)).toHaveLength(2 * UNIVERSES.length);
  const unmade = lost.map((packet) => ({ ...packet, sequence: packet.sequence / 2 }));
  expect(wrongIn(unmade, from, to).filter((fault) => fault.includes(' frames of '))).toHaveLength(UNIVERSES.length);
  expect(
    wrongIn(
      heard.filter(({ universe }) => universe !== 3),
      from,
      to,
    ),
  ).toContainEqual(expect.stringMatching(/^0 of .* of 3$/));
}

describe('the engine', () => {
  it('sends frame after frame while the main thread reads megabytes', async () => {
    const node = await NodeProcess.start({ show, sacn: wire.address });
    await swaying();
    // The mistake is found after everything has been read: what plays does not change.
    const body = JSON.stringify({ ...heavy(700), start: [{ look: 'bass' }] });
    expect(body.length).toBeGreaterThan(2 * 2 ** 20);
    const from = milliseconds();
    const statuses: number[] = [];
    // Several at once, so that there is always one to read.
    const ask = async (): Promise<void> => {
      while (milliseconds() < from + 2000) statuses.push(await post(node, body));
    };
    await Promise.all([ask(), ask(), ask(), ask()]);
    const to = milliseconds();
    expect(new Set(statuses)).toEqual(new Set([422]));
    await wire.next('frame after that', () => true);
    expectFrames('main thread busy', from, to);
  });

  it('sends frame after frame while a show of a megabyte is taken over, again and again', async () => {
    const node = await NodeProcess.start({ show, sacn: wire.address });
    await swaying();
    const from = milliseconds();
    for (const tempo of [100, 101, 102]) expect(await post(node, JSON.stringify({ ...heavy(250), tempo }))).toBe(200);
    await wire.next('frame after that', () => true);
    expectFrames('import', from, milliseconds());
    expect((await node.status()).show.revision).toBe(4);
  });
});

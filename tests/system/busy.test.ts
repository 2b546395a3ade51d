import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { swayingShow } from './plain-show.ts';

/** Frames a second, unless told otherwise. */
const RATE = 40;

let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

/** Hundreds of looks that nobody asked for, some four kilobytes each. */
const heavy = (looks: number) => ({
  ...swayingShow,
  looks: [
    ...swayingShow.looks,
    ...Array.from({ length: looks }, (_, i) => ({
      id: `look-${i}`,
      name: `Look ${i}`,
      parts: Array.from({ length: 100 }, (_, k) => ({ who: [{ fixture: `lamp-${1 + (k % 4)}` }], level: ((i + k) % 11) / 10 })),
    })),
  ],
});

const milliseconds = () => performance.timeOrigin + performance.now();
const post = async (node: NodeProcess, body: string) => (await node.ask('show', { method: 'POST', body })).status;

/** Frames of the swaying yoke between two instants, and the longest way from one to the next. */
function frames(from: number, to: number): { count: number; longest: number } {
  const times = wire.heard.filter(({ universe, at }) => universe === 2 && at >= from && at <= to).map(({ at }) => at);
  return { count: times.length, longest: Math.max(...times.slice(1).map((at, i) => at - (times[i] as number))) };
}

/** The machine that runs the tests is busy too: what counts is that frames keep coming, not when each one comes. */
function expectFrames(what: string, from: number, to: number, share: number): void {
  const { count, longest } = frames(from, to);
  const seconds = (to - from) / 1000;
  process.stdout.write(`${what}: ${count} frames in ${seconds.toFixed(1)} s, ${Math.round(longest)} ms at most between two\n`);
  expect(count).toBeGreaterThan(share * RATE * seconds);
}

describe('the engine', () => {
  it('sends frame after frame while the main thread reads megabytes', async () => {
    const node = await NodeProcess.start({ show: swayingShow, sacn: wire.address });
    await wire.next('movement', ({ universe, slots }) => universe === 2 && slots[0] !== 51, 0);
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
    expectFrames('main thread busy', from, to, 0.5);
  });

  it('sends frame after frame while a show of a megabyte is taken over, again and again', async () => {
    const node = await NodeProcess.start({ show: swayingShow, sacn: wire.address });
    await wire.next('movement', ({ universe, slots }) => universe === 2 && slots[0] !== 51, 0);
    const from = milliseconds();
    for (const tempo of [100, 101, 102]) expect(await post(node, JSON.stringify({ ...heavy(250), tempo }))).toBe(200);
    await wire.next('frame after that', () => true);
    // Between two frames the engine takes the show over; that is its own work, and costs it some.
    expectFrames('import', from, milliseconds(), 0.3);
    expect((await node.status()).show.revision).toBe(4);
  });
});

import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { levelOf, lightOf } from '../helpers/lightness.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { type Heard, Listener } from './listener.ts';
import { BASE, plainShow, ROUND, YOKE } from './plain-show.ts';

/**
 * SIGKILL stands for the power cut: nothing gets a chance to be put away. What was on must be what the first frame of the next start
 * shows. Expected bytes are worked out from the show document by hand, see plain-show.ts.
 */
let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

const start = () => NodeProcess.start({ show: plainShow, sacn: wire.address });
const press = (node: NodeProcess, button: string) => node.command({ do: 'press', button });

/** Kills the node and starts another on its folder. @returns the first packet of each universe. */
async function cutPower(node: NodeProcess): Promise<{ node: NodeProcess; first: Heard; second: Heard }> {
  await node.kill();
  const before = await wire.count();
  const from = performance.now();
  const again = await NodeProcess.start({ folder: node.folder, sacn: wire.address }, 'line');
  const first = await wire.next('packet on universe 1', ({ universe }) => universe === 1, before);
  const second = await wire.next('packet on universe 2', ({ universe }) => universe === 2, before);
  process.stdout.write(`first packet ${Math.round(first.at - performance.timeOrigin - from)} ms after the start of the process\n`);
  return { node: again, first, second };
}

/** When something started, by this process's clock, as packets are timed: the node's own counts from somewhere else. Known as exactly as its status is new. */
async function startOf(node: NodeProcess, item: string): Promise<{ earliest: number; latest: number }> {
  const here = () => performance.timeOrigin + performance.now();
  const asked = here();
  const status = await node.status();
  const found = status.playing.find((one) => one.item === item);
  if (found === undefined) throw new Error(`${item} does not play`);
  const ago = status.now - found.startedAt;
  return { earliest: asked - ago, latest: here() - ago };
}

describe('a node whose power was cut', () => {
  it('shows what was on in its first frame, also when the press had only just been answered', async () => {
    const node = await start();
    await press(node, 'warm');
    const { node: again, first, second } = await cutPower(node);
    expect(first.slots.slice(0, 4)).toEqual([153, 153, 51, 51]);
    expect(second.slots.slice(0, 3)).toEqual(YOKE);

    await again.kill();
    const third = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    await press(third, 'full');
    const last = await cutPower(third);
    expect(last.first.slots.slice(0, 4)).toEqual([255, 153, 51, 51]);

    // Unless somebody wants to begin again.
    await last.node.kill();
    const before = await wire.count();
    await NodeProcess.start({ folder: node.folder, sacn: wire.address, more: ['--fresh'] }, 'line');
    const afresh = await wire.next('packet on universe 1', ({ universe }) => universe === 1, before);
    expect(afresh.slots.slice(0, 4)).toEqual(BASE);
  });

  it('stays blacked out, and gives back what was on when that ends', async () => {
    const node = await start();
    await press(node, 'warm');
    await node.command({ do: 'blackout', on: true });
    const { node: again, first, second } = await cutPower(node);
    expect(first.slots.every((value) => value === 0)).toBe(true);
    expect(second.slots.slice(0, 3)).toEqual([51, 51, 0]);
    const dark = await wire.count();
    expect(wire.heard.findLast(({ universe }) => universe === 1)?.slots.every((value) => value === 0)).toBe(true);
    await until('node.json', () =>
      again.command({ do: 'blackout', on: false }).then(
        () => true,
        () => undefined,
      ),
    );
    // The flash guard lets light rise from a blackout in steps.
    const back = ({ universe, slots }: { universe: number; slots: readonly number[] }) =>
      universe === 1 && [153, 153, 51, 51].every((value, i) => slots[i] === value);
    await wire.next('all light on universe 1', back, dark);
  });

  it('goes on with a chase in phase by the clock', async () => {
    const node = await start();
    await press(node, 'round');
    const { earliest, latest } = await startOf(node, 'chase:round');
    const stepAt = (at: number, startedAt = latest) => ROUND[Math.floor((at - startedAt) / 1000) % 4];
    // A start takes about a second: killed in the middle of the second step, it is not likely to be back for the first one.
    await wire.next('middle of the second step', ({ at }) => (((at - latest) / 1000) % 4) - 1.5 > 0 && stepAt(at) === 102);
    const { first } = await cutPower(node);
    expect(first.slots.slice(0, 3)).toEqual(BASE.slice(0, 3));
    // A packet that was drawn in one step may be read in the next.
    expect([stepAt(first.at - 300), stepAt(first.at, earliest)]).toContain(first.slots[3]);
  });

  it('goes on with a fade where the clock has brought it', async () => {
    const node = await start();
    await press(node, 'slow');
    const { earliest, latest } = await startOf(node, 'look:slow');
    await wire.next('second of the fade', ({ at }) => at > latest + 1500);
    const { first } = await cutPower(node);
    // From a fifth of the light to full within 8 s, evenly in lightness. The packet was drawn up to 300 ms before it was read.
    const come = (millis: number) => 255 * lightOf(Math.min(1, levelOf(0.2) + (millis / 8000) * (1 - levelOf(0.2))));
    expect(first.slots[2]).toBeGreaterThanOrEqual(Math.floor(come(first.at - latest - 300)));
    expect(first.slots[2]).toBeLessThanOrEqual(Math.ceil(come(first.at - earliest)));
    expect(first.slots.slice(0, 2)).toEqual(BASE.slice(0, 2));
  });
});

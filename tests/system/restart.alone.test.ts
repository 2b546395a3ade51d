import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/** A pressed "warm" over the base, worked out from the show document by hand: see plain-show.ts. */
const WARM = [153, 153, 51, 51];
/** How long a receiver goes without packets before a source counts as lost: E1.31-2018 section 6.7.1, E131_NETWORK_DATA_LOSS_TIMEOUT. */
const DATA_LOSS = 2500;

let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

async function playing(): Promise<NodeProcess> {
  const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
  await node.command({ do: 'press', button: 'warm' });
  await wire.next('warm light', ({ universe, slots }) => universe === 1 && WARM.every((value, i) => slots[i] === value), 0);
  return node;
}

describe('a restart that is meant', () => {
  it('says no goodbye on the wire, and is back with what was on before receivers count it as lost', async () => {
    const node = await playing();
    const before = await wire.count();
    process.kill(node.pid, 'SIGUSR2');
    expect(await node.ended).toMatchObject({ code: 0, signal: null });
    // As the service manager does it: at once, on the same folder.
    const until = await wire.count();
    const again = await NodeProcess.start({ folder: node.folder, sacn: wire.address }, 'line');
    await wire.next('frame', ({ universe }) => universe === 1, until);
    const packets = wire.heard.slice(before).filter(({ universe }) => universe === 1);
    expect(packets.filter(({ terminated }) => terminated)).toEqual([]);
    for (const { slots } of packets) expect(slots.slice(0, 4)).toEqual(WARM);
    const gap = Math.max(...packets.slice(1).map(({ at }, i) => at - (packets[i]?.at ?? at)));
    process.stdout.write(`without a packet for ${Math.round(gap)} ms\n`);
    expect(gap).toBeLessThan(DATA_LOSS);
    expect(again.stderr).toBe('');
  });

  it('is another thing than an end, which takes leave three times', async () => {
    const node = await playing();
    const before = await wire.count();
    await node.stop();
    await wire.count();
    const ends = wire.heard.slice(before).filter(({ universe, terminated }) => universe === 1 && terminated);
    // E1.31-2018 section 6.2.6: three packets with the bit set.
    expect(ends).toHaveLength(3);
  });
});

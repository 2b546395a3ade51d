import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { BASE, plainShow, YOKE } from './plain-show.ts';

/** Expected bytes are worked out from the show document by hand, see plain-show.ts. */
let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

/** Waits until the wire shows these slots, and fails with what it shows instead. */
async function shows(slots: readonly number[], universe = 1): Promise<void> {
  const wanted = slots.join();
  const said = () => wire.latest(universe, slots.length)?.join();
  await wire.next(`${wanted} on universe ${universe}`, () => said() === wanted, 0).catch(() => undefined);
  expect(said()).toBe(wanted);
}

describe('the command line at the wire', () => {
  it('presses, releases and blacks out as the show says', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    await shows(BASE);
    await shows(YOKE, 2);
    expect(wire.heard.every(({ slots }) => slots.length === 512)).toBe(true);
    expect(wire.heard.every(({ slots }) => slots.slice(4).every((value) => value === 0))).toBe(true);

    await node.does('press', 'warm');
    await shows([153, 153, 51, 51]);
    await node.does('press', 'Full');
    await shows([255, 153, 51, 51]);

    await node.does('release', 'full');
    await shows([153, 153, 51, 51]);

    await node.does('blackout', 'on');
    await shows([0, 0, 0, 0]);
    // What moves stays where it was; light returns where it was.
    await shows([51, 51, 0], 2);
    await node.does('blackout', 'off');
    await shows([153, 153, 51, 51]);
    await shows(YOKE, 2);

    // By the words on the button, whatever the case.
    await node.does('release', 'WARM WALLS');
    await shows(BASE);
  });

  it('says which buttons there are when it is asked for another, and changes nothing', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    await shows(BASE);
    const { code, stderr } = await node.client('press', 'disco');
    expect(code).toBe(1);
    expect(stderr).toBe('There is no button "disco"; there is Warm walls, Full, Slow, Round\n');
    expect((await node.status()).playing.map(({ item }) => item)).toEqual(['look:base']);
  });
});

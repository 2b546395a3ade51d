import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { levelOf } from '../helpers/lightness.ts';
import { duskhand, endAll, NodeProcess, newFolder, showFile } from '../helpers/node-process.ts';
import { type Heard, Listener } from './listener.ts';
import { BASE, plainShow } from './plain-show.ts';

/** Expected bytes are worked out from the show document by hand, see plain-show.ts. */
let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

/** The base at two fifths instead of one, and a lamp more in a universe of its own. */
const [base, ...otherLooks] = plainShow.looks;
const everybody = [1, 2, 3, 4].map((n) => ({ fixture: `lamp-${n}` }));
const brighter = {
  ...plainShow,
  fixtures: [
    ...plainShow.fixtures,
    { id: 'porch', name: 'Porch', type: 'dimmer', mode: '1ch', universe: 3, address: 1, use: 'facade' },
  ],
  looks: [{ ...base, parts: [{ who: [...everybody, { fixture: 'porch' }], level: levelOf(0.4) }] }, ...otherLooks],
};
const universe = (number: number) => (packet: Heard) => packet.universe === number;
const first = (packet: Heard) => packet.slots.slice(0, 4).join();

describe('import into a running node', () => {
  it('plays the new revision without a dark frame, a gap or a goodbye, and what was pressed plays on', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    await node.command({ do: 'press', button: 'full' });
    await wire.next('full', (packet) => first(packet) === '255,51,51,51', 0);
    const before = wire.heard.findIndex((packet) => first(packet) === '255,51,51,51');
    expect(await node.does('import', showFile(brighter))).toBe('Plain is kept as revision 2\n');
    await wire.next('new revision', (packet) => first(packet) === '255,102,102,102', before);
    await wire.next('keep-alive', universe(1));

    const heard = wire.heard.filter(universe(1));
    expect(new Set(wire.heard.slice(before).filter(universe(1)).map(first))).toEqual(new Set(['255,51,51,51', '255,102,102,102']));
    for (const [i, { sequence, terminated }] of heard.entries()) {
      expect(terminated).toBe(false);
      // A new start strides: the first four are 20 apart.
      if (i > 0) expect(sequence).toBe(((heard[i - 1] as Heard).sequence + (i < 4 ? 20 : 1)) % 256);
    }
    expect(wire.heard.find(universe(3))?.slots[0]).toBe(102);
    expect(await node.status()).toMatchObject({ show: { id: 'plain', revision: 2 } });

    // Back again: the universe that is no longer used says goodbye, the others are none the wiser.
    await node.does('import', showFile(plainShow));
    await wire.next('goodbye', ({ universe, terminated }) => universe === 3 && terminated, before);
    const { slots } = await wire.next('old levels', (packet) => universe(1)(packet) && packet.slots[1] === 51);
    expect(slots.slice(0, 4)).toEqual([255, 51, 51, 51]);
    expect(wire.heard.filter(({ terminated }) => terminated).every(universe(3))).toBe(true);
  });

  it('changes nothing when the show has mistakes, and says where', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    await wire.next('base', (packet) => first(packet) === BASE.join(), 0);
    const wrong = await node.client('import', showFile({ ...brighter, start: [{ look: 'bass' }] }));
    expect(wrong).toMatchObject({ code: 1, stdout: '' });
    expect(wrong.stderr).toBe(
      'The show has mistakes\n  start[0].look: there is no look "bass"; known are base, warm, full, slow\n',
    );
    // The node itself refuses as well: a client need not have looked.
    const { status } = await node.ask('show', { method: 'POST', body: JSON.stringify({ ...brighter, tempo: 3000 }) });
    expect(status).toBe(422);
    expect(await node.status()).toMatchObject({ show: { id: 'plain', revision: 1 } });
    await wire.next('keep-alive', universe(1));
    expect(new Set(wire.heard.filter(universe(1)).map(first))).toEqual(new Set([BASE.join()]));
  });

  it('begins another show afresh', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    await node.command({ do: 'press', button: 'full' });
    expect(await node.does('import', showFile({ ...brighter, id: 'other', name: 'Other' }))).toBe('Other is kept as revision 2\n');
    await wire.next('other show', (packet) => first(packet) === '102,102,102,102');
    expect((await node.status()).playing.map(({ item }) => item)).toEqual(['look:base']);
    // The first one is still there.
    expect(JSON.parse(await node.does('export', '--show', 'plain'))).toMatchObject({ id: 'plain', name: 'Plain' });
    expect((await node.client('export', '--show', 'third')).stderr).toBe('There is no show "third"; there is other, plain\n');
  });
});

describe('export and import', () => {
  it('are a round trip, with a node and without', async () => {
    const node = await NodeProcess.start({ show: plainShow });
    const exported = await node.does('export');
    expect(JSON.parse(exported)).toMatchObject(plainShow);
    // The same document adds no revision.
    expect(await node.does('import', showFile(exported))).toBe('Plain is kept as revision 1\n');
    await node.stop();
    expect(await node.does('export')).toBe(exported);

    const folder = newFolder();
    const there = (command: string, ...args: string[]) => duskhand([command, '--data', folder, ...args]);
    expect(await there('import', showFile(exported))).toMatchObject({ code: 0, stdout: 'Plain is kept as revision 1\n' });
    expect(await there('import', showFile(exported))).toMatchObject({ code: 0, stdout: 'Plain is kept as revision 1\n' });
    expect((await there('export')).stdout).toBe(exported);
    const again = await NodeProcess.start({ folder });
    expect((await again.status()).show).toEqual({ id: 'plain', name: 'Plain', revision: 1 });
  });
});

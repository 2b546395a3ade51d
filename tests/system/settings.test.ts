import { afterEach, describe, expect, it } from 'vitest';
import { duskhand, endAll, NodeProcess, newFolder, showFile } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { BASE, plainShow } from './plain-show.ts';

afterEach(endAll);

const settingsFile = (outputs: readonly object[]): string =>
  showFile({ format: 'duskhand-settings', version: 1, name: 'Booth', outputs });
const to = (listener: Listener, id = 'ear') => ({ id, protocol: 'sacn', to: [listener.address], universes: [1] });
const isBase = ({ slots }: { slots: readonly number[] }): boolean => BASE.every((value, i) => slots[i] === value);

describe('the settings of a node', () => {
  it('say where it sends, whatever show plays; a node that runs follows them at once', async () => {
    const [first, second] = [await Listener.open(), await Listener.open()];
    const node = await NodeProcess.start({ show: plainShow, outputs: [to(first)] });
    await first.next('base', isBase, 0);
    await node.does('settings', settingsFile([to(second)]));
    await second.next('base', isBase, 0);
    await first.next('goodbye', ({ terminated }) => terminated, 0);
    await node.does('import', showFile({ ...plainShow, id: 'another' }));
    await second.next('base of the other show', isBase);
    expect(JSON.parse(await node.does('settings'))).toMatchObject({
      name: 'Booth',
      outputs: [{ id: 'ear', to: [second.address] }],
    });
    // What the flags say over them stands beside, so that the settings can go into a file.
    expect((await node.client('settings')).stderr).toBe(
      'The running node was started with --interface lo: for its outputs that stands over these settings until it is started without\n',
    );
    await node.stop();
    expect((await node.client('settings')).stderr).toBe('');
    for (const one of [first, second]) one.close();
  });

  it('that are wrong change nothing', async () => {
    const ear = await Listener.open();
    const node = await NodeProcess.start({ show: plainShow, outputs: [to(ear)] });
    const refused = await node.client('settings', settingsFile([{ id: 'x', protocol: 'usb' }]));
    expect(refused.code).toBe(1);
    expect(refused.stderr).toBe(
      'The settings have mistakes\n  outputs[0].protocol: must be one of "sacn", "artnet" (found "usb")\n',
    );
    await ear.next('base', isBase);
    ear.close();
  });

  it('are taken over from a show of the time when shows had outputs, once; later ones are told apart', async () => {
    const ear = await Listener.open();
    const folder = newFolder();
    // In version 1 a level was a share of a lamp's channel: the base is a fifth.
    const parts = [1, 2, 3, 4].map((n) => ({ who: [{ fixture: `lamp-${n}` }], level: 0.2 }));
    const looks = plainShow.looks.map((look) => (look.id === 'base' ? { ...look, parts } : look));
    const older = (id: string) => showFile({ ...plainShow, version: 1, looks, outputs: [to(ear, id)] });
    const first = await duskhand(['import', older('ear'), '--data', folder]);
    expect(first.stdout).toContain('The outputs in it are those of this node from now on');
    const second = await duskhand(['import', older('other'), '--data', folder]);
    expect(second.stdout).toContain('The outputs in it were left out');
    await NodeProcess.start({ folder, outputs: 'kept' });
    await ear.next('base', isBase, 0);
    ear.close();
  });
});

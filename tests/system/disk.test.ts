import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { BASE, plainShow } from './plain-show.ts';

/** A store that refuses to be written: here because somebody else holds it, as a full or broken card would. */
let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

const command = (node: NodeProcess, body: object) => node.ask('play/command', { method: 'POST', body: JSON.stringify(body) });

describe('a disk that refuses', () => {
  it('costs no light, is told once, and is caught up with', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    const holder = new Database(join(node.folder, 'duskhand.sqlite'));
    holder.exec('BEGIN IMMEDIATE');

    const answered = command(node, { do: 'press', button: 'warm' });
    await wire.next('light of the button', ({ slots }) => slots.slice(0, 4).join() === '153,153,51,51', 0);
    expect((await answered).status).toBe(204);
    // A master is written a little later, when nobody waits for an answer.
    expect((await command(node, { do: 'master', level: 0.5, fade: 0 })).status).toBe(204);
    expect((await command(node, { do: 'blackout', on: true })).status).toBe(204);
    expect((await node.status()).troubles.map(({ id }) => id)).toContain('disk-failing');
    const dark = ({ universe, slots }: { universe: number; slots: readonly number[] }) => universe === 1 && !slots.some(Boolean);
    await wire.next('dark', dark, 0);

    holder.close();
    await node.says('stderr', /^What plays is written down again\.$/m);
    expect(node.stderr.match(/What plays cannot be written down/g)).toHaveLength(1);
    expect((await node.status()).troubles).toEqual([]);

    await node.kill();
    const before = await wire.count();
    const again = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    const first = await wire.next('first packet', ({ universe }) => universe === 1, before);
    expect(first.slots.slice(0, 4)).toEqual([0, 0, 0, 0]);
    expect(await again.status()).toMatchObject({ blackout: true, masters: { all: 0.5 } });
  });

  it('refuses an import, and changes nothing', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    const holder = new Database(join(node.folder, 'duskhand.sqlite'));
    holder.exec('BEGIN IMMEDIATE');
    const { status } = await node.ask('show', { method: 'POST', body: JSON.stringify({ ...plainShow, tempo: 90 }) });
    expect(status).toBe(500);
    holder.close();
    expect(await node.status()).toMatchObject({ bpm: 120, show: { revision: 1 } });
    expect(wire.latest()).toEqual(BASE);
  });
});

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

describe('a disk that refuses', () => {
  it('costs no light, is told once, and is caught up with', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    const holder = new Database(join(node.folder, 'duskhand.sqlite'));
    holder.exec('BEGIN IMMEDIATE');

    // A master is written down a little after it was answered, when nobody waits for it any more.
    await node.command({ do: 'master', level: 0, fade: 0 });
    await wire.next('dark', ({ universe, slots }) => universe === 1 && !slots.some(Boolean), 0);
    await node.says('stderr', /^What plays cannot be written down \(database is locked\)\. The lights play on/m);
    expect((await node.status()).troubles.map(({ id }) => id)).toEqual(['disk-failing']);

    holder.close();
    await node.says('stderr', /^What plays is written down again\.$/m);
    expect(node.stderr.match(/What plays cannot be written down/g)).toHaveLength(1);
    expect((await node.status()).troubles).toEqual([]);

    await node.kill();
    const before = await wire.count();
    const again = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    const first = await wire.next('first packet', ({ universe }) => universe === 1, before);
    expect(first.slots.slice(0, 4)).toEqual([0, 0, 0, 0]);
    expect((await again.status()).masters.all).toBe(0);
  });

  it('refuses an import, and changes nothing', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    const holder = new Database(join(node.folder, 'duskhand.sqlite'));
    holder.exec('BEGIN IMMEDIATE');
    const { status } = await node.ask('show', { method: 'POST', body: JSON.stringify({ ...plainShow, tempo: 90 }) });
    expect(status).toBe(503);
    holder.close();
    expect(await node.status()).toMatchObject({ bpm: 120, show: { revision: 1 } });
    expect(wire.latest()).toEqual(BASE);
  });
});

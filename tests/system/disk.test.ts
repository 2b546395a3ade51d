import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
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

/** A node that plays, and has written down how it began. */
async function startKept(): Promise<NodeProcess> {
  const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
  await until('revision', async () => ((await node.status()).show.revision > 0 ? true : undefined));
  return node;
}

describe('a disk that refuses', () => {
  it('costs no light, is told once, and is caught up with', async () => {
    const node = await startKept();
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

  it('that is slow keeps nobody waiting but who pressed: lights at once, questions at once, answers when it is safe, and no queue', async () => {
    const node = await startKept();
    const file = join(node.folder, 'duskhand.sqlite');
    const holder = new Database(file);
    const rows = (): number => (holder.prepare('SELECT count(*) AS rows FROM journal').get() as { rows: number }).rows;
    const before = rows();
    holder.exec('BEGIN IMMEDIATE');
    let answered = 0;
    const presses = [...Array.from({ length: 19 }, (_, i) => (i % 2 === 0 ? 'warm' : 'round')), 'full'].map(async (button) => {
      await node.command({ do: 'press', button });
      answered++;
    });
    await wire.next('light of the last press', ({ universe, slots }) => universe === 1 && slots[0] === 255, 0);
    // Each question would have waited for the disk as well.
    const asked = performance.now();
    for (let i = 0; i < 10; i++) await node.status();
    const took = performance.now() - asked;
    expect(answered).toBe(0);
    holder.exec('ROLLBACK');
    await Promise.all(presses);
    expect(took).toBeLessThan(1500);
    // What plays was on its way when the disk stood still, and the newest went behind it.
    expect(rows() - before).toBeLessThanOrEqual(3);
    expect(node.stderr).not.toMatch(/cannot be written down/);
    holder.close();
    await node.kill();
    const from = await wire.count();
    await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    expect((await wire.next('first packet', ({ universe }) => universe === 1, from)).slots[0]).toBe(255);
  });

  it('refuses an import, and changes nothing', async () => {
    const node = await startKept();
    const holder = new Database(join(node.folder, 'duskhand.sqlite'));
    holder.exec('BEGIN IMMEDIATE');
    const { status } = await node.ask('show', { method: 'POST', body: JSON.stringify({ ...plainShow, tempo: 90 }) });
    expect(status).toBe(503);
    holder.close();
    expect(await node.status()).toMatchObject({ bpm: 120, show: { revision: 1 } });
    await wire.next('base', ({ universe }) => universe === 1);
    expect(wire.latest()).toEqual(BASE);
  });
});

import { afterEach, expect, test } from 'vitest';
import { openDatabase } from '../../node/store/database.ts';
import { RemoteTable } from '../../node/store/remotes.ts';
import { endAll, NodeProcess, newFolder, until } from '../helpers/node-process.ts';
import { RemoteClient } from '../helpers/remote.ts';
import { attendedShow } from './attended-show.ts';
import { Listener } from './listener.ts';

afterEach(endAll);

test('a hundred phones that beat and press lose no packet and stop no frame (how evenly they come: the bench)', async () => {
  const wire = await Listener.open();
  // One address may try ten codes a minute, so these were paired before.
  const folder = newFolder();
  const db = openDatabase(folder);
  const table = new RemoteTable(db);
  const cookies: string[] = [];
  for (let i = 0; i < 25; i++) cookies.push(`duskhand=${(await table.add(`Phone ${i}`, 'operator', 0)).token}`);
  db.close();
  const node = await NodeProcess.start({ folder, show: attendedShow, sacn: wire.address });
  const phones: RemoteClient[] = [];
  for (let i = 0; i < 100; i++) phones.push(await RemoteClient.open(node, cookies[i % 25] ?? ''));
  for (const phone of phones) phone.beat();
  await node.command({ do: 'press', button: 'Round' });
  const before = wire.heard.filter(({ universe }) => universe === 1).length;
  const { frames: first } = await node.status();
  for (let round = 0; round < 10; round++) {
    await Promise.all(
      phones.slice(0, 20).map((phone, i) => phone.command({ do: i % 2 === 0 ? 'press' : 'release', button: 'warm' })),
    );
    const { frames } = await node.status();
    await until('twenty frames more', async () => (await node.status()).frames > frames + 20 || undefined, 2000);
  }
  expect((await node.status()).frames).toBeGreaterThan(first + 200);
  const numbers = wire.heard
    .filter(({ universe }) => universe === 1)
    .slice(before)
    .map(({ sequence }) => sequence);
  expect(numbers.every((n, i) => i === 0 || n === ((numbers[i - 1] ?? 0) + 1) % 256)).toBe(true);
  for (const phone of phones) phone.close();
  await node.stop();
  wire.close();
});

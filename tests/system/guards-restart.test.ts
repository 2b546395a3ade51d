import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';

/** A blinder at slot 1 that shines alone: it is dimmed after four seconds, the half that a start leaves it of the time that people bear. */
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'glare',
  name: 'Glare',
  theme: { name: 'None', colours: [] },
  fixtures: [{ id: 'blinder', name: 'Blinder', type: 'dimmer', mode: '1ch', universe: 1, address: 1, use: 'blinder' }],
  looks: [{ id: 'glare', name: 'Glare', fade: 0, unattended: true, parts: [{ who: [{ all: true }], level: 1 }] }],
  buttons: [{ id: 'glare', name: 'Glare', starts: [{ look: 'glare' }] }],
};

let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

const inStore = <T>(node: NodeProcess, sql: string): T[] => {
  const db = new Database(join(node.folder, 'duskhand.sqlite'), { readonly: true });
  try {
    return db.prepare(sql).pluck().all() as T[];
  } finally {
    db.close();
  }
};

it('what guards have counted outlives a power cut: a blinder that was dimmed is so in the first frame, and never wholly dark', async () => {
  const node = await NodeProcess.start({ show, sacn: wire.address });
  await node.command({ do: 'press', button: 'glare' });
  await wire.next('blinder at full', ({ slots }) => slots[0] === 255);
  await wire.next('blinder that is dimmed', ({ slots }) => (slots[0] ?? 255) < 100);
  // It is written down, in words and in numbers.
  await until(
    'what it has counted',
    () =>
      inStore<string>(node, "SELECT value FROM fact WHERE name = 'guards'").some((text) => text.includes('blinders')) || undefined,
  );
  expect(inStore<string>(node, 'SELECT what FROM held_back')).toEqual([
    'Blinder dimmed: a blinder may dazzle people for some seconds only',
  ]);
  await node.kill();
  const before = await wire.count();
  const again = await NodeProcess.start({ folder: node.folder, sacn: wire.address }, 'line');
  const first = await wire.next('first packet', () => true, before);
  expect(first.slots[0]).toBeGreaterThan(0);
  expect(first.slots[0]).toBeLessThan(100);
  await again.kill();
});

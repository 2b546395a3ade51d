import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { BenchDraft, BenchHistory } from '../../node/api/edit-contract.ts';
import type { AskedChange } from '../../node/show/change.ts';
import { levelOf } from '../helpers/lightness.ts';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { browse, pair, RemoteClient } from '../helpers/remote.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/** A pull on the bench: its samples go to the lights and not into the store. */
let wire: Listener;
let node: NodeProcess;
let cookie: string;
let mia: RemoteClient;
beforeEach(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
  cookie = await pair(node, 'operator', 'Mia');
  mia = await RemoteClient.open(node, cookie);
  await node.command({ do: 'press', button: 'Warm walls' });
  await wire.next('warm', ({ universe, slots }) => universe === 1 && slots[0] === 153, 0);
});
afterEach(async () => {
  await endAll();
  wire.close();
});

const level = (n: number, share: number) => ({ who: [{ fixture: `lamp-${n}` }], level: levelOf(share) });
const parts = (share: number) => [level(1, share), level(2, share)].map((part) => ({ ...part, brightness: 'best' }));
const warm = (was: number, now: number): AskedChange => ({
  do: 'set',
  kind: 'look',
  id: 'warm',
  field: 'parts',
  was: parts(was),
  now: parts(now),
});
const sample = (share: number, show = 'plain') => mia.send({ type: 'sample', sample: { changes: [warm(0.6, share)], show } });
const at = (value: number, after?: number) =>
  wire.next(`slot 1 at ${value}`, ({ universe, slots }) => universe === 1 && slots[0] === value, after);
const read = async (path: string) => (await browse(node, `api/bench${path}`, { cookie })).json();

describe('samples of a pull', () => {
  it('are on the wire and not in the store; the edit that ends it is one step from where it began', async () => {
    const told = mia.messages.length;
    const from = wire.heard.length;
    for (const share of [0.8, 0.4, 0.2]) {
      sample(share);
      await at(Math.round(255 * share), from);
    }
    expect(((await read('')) as BenchDraft).revision).toBe(1);
    const answer = await mia.edit({ editId: 'end-of-the-pull', changes: [warm(0.6, 0.4)], gesture: 'pull-1' });
    expect(answer).toMatchObject({ answer: { ok: true, revision: 2 } });
    await at(102);
    expect((await read('/history')) as BenchHistory).toHaveLength(2);
    // Nobody is told anew of the whole show with every sample: once, by the edit.
    expect(mia.messages.slice(told).filter(({ type }) => type === 'hello').length).toBeLessThanOrEqual(1);
    mia.send({ type: 'step', id: 90, step: { editId: 'back-again', way: 'undo', anyway: false, leave: false } });
    await at(153);
  });

  it('that no edit follows are gone from the lights after a while, and at once at a restart', async () => {
    sample(0.8);
    await at(204);
    await at(153);
    sample(0.2);
    await at(51);
    await node.kill();
    const after = await wire.count();
    node = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    const first = await wire.next('the first frame', ({ universe }) => universe === 1, after);
    expect(first.slots[0]).toBe(153);
  });

  it('that are laid over all are tried while they come, are of no document, and leave nothing behind', async () => {
    const over = (share: number, who = mia): void =>
      who.send({
        type: 'sample',
        sample: { changes: [], show: 'plain', over: [{ who: [{ fixture: 'lamp-1' }], brightness: 'best', level: levelOf(share) }] },
      });
    over(0.2);
    await at(51);
    over(0.4);
    await at(102);
    const draft = (await read('')) as BenchDraft;
    expect(draft.revision).toBe(1);
    expect(draft.show.looks.map(({ id }) => id)).not.toContain('~over');
    // Nothing comes any more: what plays is what is stored.
    await at(153);
    over(0.2);
    const from = wire.heard.length;
    await at(51, from);
    // Whoever tried it goes.
    const lit = wire.heard.length;
    mia.close();
    await at(153, lit);
    const helper = await RemoteClient.join(node, 'helper');
    const later = wire.heard.length;
    over(0.8, helper);
    await wire.next('a packet of a while later', () => true);
    await wire.next('and another', () => true);
    const sent = wire.heard.slice(later).filter(({ universe }) => universe === 1);
    expect([...new Set(sent.map(({ slots }) => slots[0]))]).toEqual([153]);
  });

  it('of another show, of what is held back, of what cannot be played, and of a helper change nothing', async () => {
    const from = wire.heard.length;
    sample(0.8, 'another');
    // What plays must be there still when a sample is over; nobody is told of names that were never stored.
    const more = (change: object): void =>
      mia.send({ type: 'sample', sample: { changes: [warm(0.6, 0.8), change as AskedChange], show: 'plain' } });
    more({ do: 'drop', kind: 'look', id: 'warm', was: { id: 'warm' } });
    more({ do: 'set', kind: 'look', id: 'warm', field: 'name', was: 'Warm', now: 'Another' });
    more({ do: 'set', kind: 'fixture', id: 'lamp-1', field: 'address', was: 1, now: 300 });
    mia.send({ type: 'sample', sample: { changes: [{ ...warm(0.6, 0.8), now: [] } as AskedChange], show: 'plain' } });
    mia.send({ type: 'sample', sample: { changes: [{ ...warm(0.6, 0.8), now: 'nonsense' } as AskedChange], show: 'plain' } });
    const helper = await RemoteClient.join(node, 'helper');
    helper.send({ type: 'sample', sample: { changes: [warm(0.6, 0.8)], show: 'plain' } });
    await mia.edit({ editId: 'held-back-one', changes: [warm(0.6, 0.4)], here: true });
    sample(0.8);
    await wire.next('a packet of a while later', () => true);
    await wire.next('and another', () => true);
    const sent = wire.heard.slice(from).filter(({ universe }) => universe === 1);
    expect([...new Set(sent.map(({ slots }) => slots[0]))]).toEqual([153]);
  });

  it('of two people who pull two things at once are all seen: neither makes the light of the other jump back', async () => {
    await node.command({ do: 'press', button: 'Slow' });
    const tom = await RemoteClient.open(node, await pair(node, 'operator', 'Tom'));
    const base = (await read('')) as BenchDraft;
    const was = base.show.looks.find(({ id }) => id === 'base')?.parts ?? [];
    const now = was.map((part) => ({ ...part, ...(part.aim === undefined ? { level: levelOf(0.4) } : {}) }));
    const tomPulls = (): void =>
      tom.send({
        type: 'sample',
        sample: { changes: [{ do: 'set', kind: 'look', id: 'base', field: 'parts', was, now }], show: 'plain' },
      });
    const four = (want: readonly number[], after?: number) =>
      wire.next(
        `slots 1 and 4 at ${want}`,
        ({ universe, slots }) => universe === 1 && slots[0] === want[0] && slots[3] === want[1],
        after,
      );
    sample(0.8);
    tomPulls();
    await four([204, 102]);
    const from = wire.heard.length;
    for (let i = 0; i < 8; i++) {
      sample(0.8);
      await wire.next('a packet', () => true);
      tomPulls();
      await wire.next('and another', () => true);
    }
    // What somebody else stores meanwhile takes nothing away from either.
    await node.command({ do: 'tempo', bpm: 90 });
    const rename: AskedChange = { do: 'set', kind: 'look', id: 'full', field: 'name', was: 'Full', now: 'All of it' };
    const ada = await RemoteClient.open(node, await pair(node, 'operator', 'Ada'));
    await ada.edit({ editId: 'another-name', changes: [rename] });
    const sent = wire.heard.slice(from).filter(({ universe }) => universe === 1);
    expect([...new Set(sent.map(({ slots }) => `${slots[0]} ${slots[3]}`))]).toEqual(['204 102']);
    // One ends with an edit, the other with nothing.
    await mia.edit({ editId: 'end-of-the-pull', changes: [warm(0.6, 0.4)], gesture: 'pull-1' });
    await four([102, 102]);
    await four([102, 51]);
    tom.close();
    ada.close();
  });

  it('do not flood the journal: of two who pull it has a few rows a second', async () => {
    const tom = await RemoteClient.open(node, await pair(node, 'operator', 'Tom'));
    const rows = async (): Promise<number> => {
      const db = new Database(join(node.folder, 'duskhand.sqlite'), { readonly: true });
      const { last } = db.prepare('SELECT max(number) AS last FROM journal').get() as { last: number };
      db.close();
      return last;
    };
    const before = await rows();
    const from = await wire.count();
    const began = performance.now();
    for (let i = 0; i < 60; i++) {
      const share = [0.2, 0.4, 0.8][i % 3] as number;
      for (const who of [mia, tom]) who.send({ type: 'sample', sample: { changes: [warm(0.6, share)], show: 'plain' } });
      await wire.next('a packet', ({ universe }) => universe === 1);
    }
    const seconds = (performance.now() - began) / 1000;
    expect((await rows()) - before).toBeLessThan(seconds * 5 + 2);
    expect(wire.heard.slice(from).length).toBeGreaterThan(50);
    tom.close();
  });
});

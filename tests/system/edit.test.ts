import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { EditAnswer } from '../../node/api/edit-contract.ts';
import type { AskedChange } from '../../node/show/change.ts';
import { levelOf } from '../helpers/lightness.ts';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { RemoteClient } from '../helpers/remote.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/** The show that plays, changed a little while it plays. */
let wire: Listener;
let node: NodeProcess;
beforeEach(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
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
let edits = 0;
async function edit(...changes: AskedChange[]): Promise<EditAnswer> {
  const body = JSON.stringify({ editId: `edit-number-${++edits}`, changes });
  const answer = await node.ask('show/edit', { method: 'POST', body });
  if (answer.status !== 200) throw new Error(`${answer.status} ${await answer.text()}`);
  return (await answer.json()) as EditAnswer;
}

describe('an edit of what plays', () => {
  it('is on the wire before it is answered, leaves all else as it is, and outlives a power cut', async () => {
    await node.command({ do: 'press', button: 'Warm walls' });
    await wire.next('warm', ({ universe, slots }) => universe === 1 && slots[0] === 153, 0);
    const before = await wire.count();
    expect(await edit(warm(0.6, 0.8))).toMatchObject({ ok: true, revision: 2, faults: [] });
    const first = await wire.next('the other level', ({ universe, slots }) => universe === 1 && slots[0] !== 153, before);
    expect([...first.slots.slice(0, 4)]).toEqual([204, 204, 51, 51]);
    expect((await node.status()).show.revision).toBe(2);
    await node.kill();
    const after = await wire.count();
    node = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    const again = await wire.next('light', ({ universe }) => universe === 1, after);
    expect([...again.slots.slice(0, 4)]).toEqual([204, 204, 51, 51]);
  });

  it('that was made on something else is told who was faster, and changes nothing', async () => {
    await edit(warm(0.6, 0.8));
    const answer = await edit(warm(0.6, 0.1), { do: 'set', kind: 'show', id: 'plain', field: 'tempo', was: 120, now: 99 });
    expect(answer).toMatchObject({
      ok: false,
      clashes: [{ kind: 'look', id: 'warm', field: 'parts', found: parts(0.8), by: { revision: 2, who: 'command line' } }],
    });
    expect(await (await node.ask('show')).json()).toMatchObject({ tempo: 120 });
  });

  it('that leaves the show unfinished is kept and not played; what plays plays on, also after a restart', async () => {
    await node.command({ do: 'press', button: 'Warm walls' });
    await wire.next('warm', ({ universe, slots }) => universe === 1 && slots[0] === 153, 0);
    const gone: AskedChange = { do: 'set', kind: 'look', id: 'warm', field: 'parts', was: parts(0.6), now: [] };
    const answer = await edit(gone);
    expect(answer).toMatchObject({ ok: true, faults: [{ kind: 'look', id: 'warm' }] });
    expect((await node.status()).show.revision).toBe(1);
    await node.kill();
    const after = await wire.count();
    node = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    const again = await wire.next('light', ({ universe }) => universe === 1, after);
    expect(again.slots[0]).toBe(153);
    await node.says('stderr', /"Plain" is unfinished: the last state of it that can be played plays/);
    // The draft is there to go on with.
    const { do: _, ...back } = gone as Extract<AskedChange, { do: 'set' }>;
    expect(await edit({ do: 'set', ...back, was: [], now: parts(0.9) })).toMatchObject({ ok: true, faults: [] });
    await wire.next('the level of that', ({ universe, slots }) => universe === 1 && slots[0] === 230, 0);
  });

  it('that is none is refused with a sentence', async () => {
    const refused = await node.ask('show/edit', { method: 'POST', body: '{"editId":"12345678","changes":[{"do":"paint"}]}' });
    expect(refused.status).toBe(422);
    expect(await refused.json()).toMatchObject({ error: 'This is not an edit' });
  });
});

describe('an edit by a phone', () => {
  it('is told to every operator, and refused to a helper', async () => {
    const mia = await RemoteClient.join(node);
    const tom = await RemoteClient.join(node);
    const helper = await RemoteClient.join(node, 'helper');
    const change = warm(0.6, 0.7);
    const answer = await mia.edit({ editId: 'edit-of-mia', changes: [change] });
    expect(answer).toMatchObject({ type: 'edited', answer: { ok: true, revision: 2 } });
    const told = await tom.next('change');
    expect(told).toMatchObject({ type: 'change', change: { revision: 2, from: 1, changes: [{ kind: 'look', id: 'warm' }] } });
    expect(await helper.edit({ editId: 'edit-of-helper', changes: [change] })).toMatchObject({ type: 'refused' });
    for (const one of [mia, tom, helper]) one.close();
  });
});

describe('an edit over the socket', () => {
  it('with the id of somebody else’s is refused and not taken for made; what is wrong with one is said with its place', async () => {
    const [mia, ola] = [await RemoteClient.join(node), await RemoteClient.join(node)];
    const edit = { editId: 'the-same-id', changes: [warm(0.6, 0.8)] };
    expect(await mia.edit(edit)).toMatchObject({ answer: { ok: true, revision: 2 } });
    expect(await mia.edit(edit)).toMatchObject({ answer: { ok: true, revision: 2 } });
    expect(await ola.edit({ ...edit, changes: [warm(0.8, 0.4)] })).toMatchObject({
      type: 'refused',
      error: expect.stringContaining('Somebody else has made an edit with this id'),
    });
    const fade = { do: 'set', kind: 'look', id: 'warm', field: 'fade', was: 0, now: -1 } as AskedChange;
    expect(await ola.edit({ editId: 'a-wrong-one', changes: [fade] })).toMatchObject({
      type: 'refused',
      error: expect.stringContaining('look:warm.fade'),
    });
  });
});

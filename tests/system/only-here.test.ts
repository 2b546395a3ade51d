import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { BenchDraft } from '../../node/api/edit-contract.ts';
import type { AskedChange } from '../../node/show/change.ts';
import { levelOf } from '../helpers/lightness.ts';
import { endAll, NodeProcess, showFile } from '../helpers/node-process.ts';
import { browse, pair, RemoteClient } from '../helpers/remote.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/** Edits of somebody who works only here: they are in the document, and not on the wire until somebody shows them. */
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
let edits = 0;
const editId = () => `only-here-${++edits}`;
/** Everything that universe 1 has been sent since `after`, each once; a packet of a while later is among it. */
async function seen(after: number): Promise<string[]> {
  const from = wire.heard.length;
  await wire.next('a packet', ({ universe }) => universe === 1, from);
  const sent = wire.heard.slice(after).filter(({ universe }) => universe === 1);
  return [...new Set(sent.map(({ slots }) => slots.slice(0, 4).join(' ')))];
}
const draft = async () => (await (await browse(node, 'api/bench', { cookie })).json()) as BenchDraft;
const release = (as = cookie) => browse(node, 'api/bench/release', { method: 'POST', cookie: as });
const AS_BEFORE = '153 153 51 51';

describe('an edit of somebody who works only here', () => {
  it('is in the document and changes no byte on the wire, until it is shown', async () => {
    const from = wire.heard.length;
    const answer = await mia.edit({ editId: editId(), changes: [warm(0.6, 0.8)], here: true });
    expect(answer).toMatchObject({ type: 'edited', answer: { ok: true, revision: 2, held: 'Mia' } });
    expect(await draft()).toMatchObject({ revision: 2, held: 'Mia' });
    expect(await seen(from)).toEqual([AS_BEFORE]);
    // What is pressed meanwhile plays as it was before, too.
    await node.command({ do: 'all-off' });
    await wire.next('dark', ({ universe, slots }) => universe === 1 && slots[0] === 0);
    await node.command({ do: 'press', button: 'Warm walls' });
    await wire.next('warm as before', ({ universe, slots }) => universe === 1 && slots[0] === 153);
    expect((await release()).status).toBe(204);
    const shown = await wire.next('the other level', ({ universe, slots }) => universe === 1 && slots[0] !== 153);
    expect([...shown.slots.slice(0, 4)]).toEqual([204, 204, 0, 0]);
    expect((await draft()).held).toBeUndefined();
    expect((await node.status()).show.revision).toBe(2);
  });

  it('holds back what anybody edits after it, so that nobody shows it unawares; taking back is held too', async () => {
    const from = wire.heard.length;
    await mia.edit({ editId: editId(), changes: [warm(0.6, 0.8)], here: true });
    const other = await RemoteClient.join(node);
    const answer = await other.edit({ editId: editId(), changes: [warm(0.8, 0.4)], here: false });
    expect(answer).toMatchObject({ answer: { ok: true, held: 'Mia' } });
    const change = other.messages.findLast(({ type }) => type === 'change');
    expect(change).toMatchObject({ change: { revision: 3, held: 'Mia' } });
    other.send({ type: 'step', id: 77, step: { editId: editId(), way: 'undo', anyway: false, leave: false } });
    await wire.next('a packet', () => true);
    expect(await seen(from)).toEqual([AS_BEFORE]);
    // Either of them may show it.
    const second = await pair(node, 'operator', 'Noa');
    expect((await release(second)).status).toBe(204);
    await wire.next('the first edit', ({ universe, slots }) => universe === 1 && slots[0] === 204);
    await other.edit({ editId: editId(), changes: [warm(0.8, 0.4)] });
    await wire.next('at once', ({ universe, slots }) => universe === 1 && slots[0] === 102);
  });

  it('is not held back where it is but words: phones have the new name at once, and nothing waits', async () => {
    const from = wire.heard.length;
    const rename: AskedChange = { do: 'set', kind: 'button', id: 'warm', field: 'name', was: 'Warm walls', now: 'Dinner' };
    const answer = await mia.edit({ editId: editId(), changes: [rename], here: true });
    expect(answer).toMatchObject({ type: 'edited', answer: { ok: true, revision: 2 } });
    expect((await draft()).held).toBeUndefined();
    await node.command({ do: 'press', button: 'Dinner' });
    expect(await seen(from)).toEqual([AS_BEFORE]);
    // What changes light is held as ever.
    await mia.edit({ editId: editId(), changes: [warm(0.6, 0.8)], here: true });
    expect((await draft()).held).toBe('Mia');
    expect(await seen(from)).toEqual([AS_BEFORE]);
  });

  it('is still held back after a power cut, and still there', async () => {
    await mia.edit({ editId: editId(), changes: [warm(0.6, 0.8)], here: true });
    await node.kill();
    const after = await wire.count();
    node = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    expect(await seen(after)).toEqual([AS_BEFORE]);
    expect(await draft()).toMatchObject({ revision: 2, held: 'Mia' });
    expect((await release()).status).toBe(204);
    await wire.next('the other level', ({ universe, slots }) => universe === 1 && slots[0] === 204);
  });

  it('is still held back where another show was open in between', async () => {
    await mia.edit({ editId: editId(), changes: [warm(0.6, 0.8)], here: true });
    const post = (path: string, body: object = {}) =>
      browse(node, `api/bench/shows${path}`, { method: 'POST', cookie, body: JSON.stringify(body) });
    await post('', { empty: true, name: 'Other' });
    expect((await post('/other/open')).status).toBe(204);
    expect((await draft()).held).toBeUndefined();
    const opening = await (await browse(node, 'api/bench/shows/plain/opening', { cookie })).json();
    expect(opening).toMatchObject({ draft: 'What Mia changed last is held back: it plays as it was before.' });
    await post('/plain/open');
    expect(await draft()).toMatchObject({ revision: 2, held: 'Mia' });
    await node.command({ do: 'press', button: 'Warm walls' });
    await wire.next('warm as before', ({ universe, slots }) => universe === 1 && slots[0] === 153);
  });

  it('gives way to a whole show that is imported, which says so; the history has it', async () => {
    await mia.edit({ editId: editId(), changes: [warm(0.6, 0.8)], here: true });
    const said = await node.does('import', showFile({ ...plainShow, tempo: 90 }));
    expect(said).toContain(
      'What Mia changed and held back from the lights is not in it: it is in the history of the show, and comes back from there.',
    );
    expect((await draft()).held).toBeUndefined();
    const history = (await (await browse(node, 'api/bench/history', { cookie })).json()) as { revision: number; what: string }[];
    expect(history.slice(0, 2)).toMatchObject([{ what: '' }, { revision: 2, what: expect.stringContaining('Warm') }]);
    // Once it has been said nothing is held, and nothing more is said.
    expect(await node.does('import', showFile({ ...plainShow, tempo: 95 }))).not.toContain('held back');
  });

  it('is told of by an import into the folder of a node that is off', async () => {
    await mia.edit({ editId: editId(), changes: [warm(0.6, 0.8)], here: true });
    await node.stop();
    expect(await node.does('import', showFile({ ...plainShow, tempo: 90 }))).toContain('What Mia changed and held back');
  });

  it('that cannot be played is not shown: what is missing is said, and what played plays on', async () => {
    const none: AskedChange = { ...warm(0.6, 0.8), now: [] } as AskedChange;
    await mia.edit({ editId: editId(), changes: [none], here: true });
    const from = wire.heard.length;
    const refused = await release();
    expect(refused.status).toBe(422);
    expect(await refused.json()).toMatchObject({
      error: 'It cannot be shown yet: something is missing',
      problems: [{ path: expect.stringMatching(/^looks\[\d+\]\.parts$/) }],
    });
    expect(await seen(from)).toEqual([AS_BEFORE]);
    expect((await draft()).held).toBe('Mia');
  });
});

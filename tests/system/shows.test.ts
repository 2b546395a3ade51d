import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Refusal } from '../../node/api/contract.ts';
import type { ShelfList } from '../../node/api/shelf-contract.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { pair, RemoteClient } from '../helpers/remote.ts';
import { Listener } from './listener.ts';
import { plainShow } from './plain-show.ts';

/** Shows of a running node, as a browser asks for them. */
const full = { who: [{ all: true }], level: 1, brightness: 'best' };
const tent = {
  ...plainShow,
  id: 'tent',
  name: 'Tent',
  looks: [{ id: 'full', name: 'Full', fade: 0, unattended: true, parts: [full] }],
  chases: [],
  movements: [],
  hits: [],
  moments: [],
  buttons: [],
  start: [{ look: 'full' }],
  fallback: 'blackout',
};

let wire: Listener;
let node: NodeProcess;
let cookie: string;
beforeEach(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
  cookie = await pair(node);
});
afterEach(async () => {
  await endAll();
  wire.close();
});

async function ask(path: string, body?: object | string, as = cookie): Promise<{ status: number; json: unknown }> {
  const isFile = typeof body === 'string';
  const headers = { cookie: as, 'content-type': isFile ? 'application/octet-stream' : 'application/json' };
  const sent = body === undefined ? {} : { method: 'POST', body: isFile ? body : JSON.stringify(body) };
  const answer = await fetch(`${node.file.url}/api/bench/shows${path}`, { headers, ...sent });
  const text = await answer.text();
  return { status: answer.status, json: text === '' ? undefined : JSON.parse(text) };
}
const list = async () => (await ask('')).json as ShelfList;
const slots = (): string => [...(wire.latest(1, 4) ?? [])].join(' ');
const become = (wanted: string) => until(`slots at ${wanted}`, () => slots() === wanted || undefined);
const FULL = '255 255 255 255';

describe('shows of a node', () => {
  it('are opened under the blackout that somebody has set, and have their own light when it is taken off', async () => {
    await node.command({ do: 'press', button: 'Warm walls' });
    await node.command({ do: 'blackout', on: true });
    await become('0 0 0 0');
    expect((await ask('/file', JSON.stringify(tent))).json).toEqual({ id: 'tent', name: 'Tent' });
    expect((await ask('/tent/opening')).json).toEqual({
      name: 'Tent',
      stops: 'Base and Warm of “Plain” stop.',
      starts: 'It starts with Full.',
      stays: 'The blackout stays on: guests see nothing of it until it is taken off.',
    });
    const from = await wire.count();
    expect((await ask('/tent/open', {})).status).toBe(204);
    expect((await node.status()).show.id).toBe('tent');
    const opened = await wire.next('a frame of it', ({ universe }) => universe === 1);
    const sent = wire.heard.slice(from, wire.heard.indexOf(opened) + 1).filter(({ universe }) => universe === 1);
    expect([...new Set(sent.map((one) => one.slots.slice(0, 4).join(' ')))]).toEqual(['0 0 0 0']);
    await node.command({ do: 'blackout', on: false });
    await become(FULL);
    await node.kill();
    const after = await wire.count();
    node = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    await wire.next('the same', ({ slots: all }) => all.slice(0, 4).join(' ') === FULL, after);
  });

  it('have each a history of their own, and an edit that was meant for one is not made in another', async () => {
    await ask('/file', JSON.stringify(tent));
    const remote = await RemoteClient.open(node, cookie);
    await ask('/tent/open', {});
    await until('the word of it', () => remote.messages.find(({ type }) => type === 'shelf'));
    const change = { do: 'set', kind: 'show', id: 'plain', field: 'tempo', was: 120, now: 99 } as const;
    const refused = await remote.edit({ editId: 'for-another-show', changes: [change], show: 'plain' });
    expect(refused).toMatchObject({ type: 'refused', error: expect.stringContaining('Another show is open meanwhile ("Tent")') });
    const { json } = await ask('/plain/name', { was: 'Plain', now: 'Hall' });
    expect(json).toBeUndefined();
    expect((await list()).shows.map(({ name }) => name).sort()).toEqual(['Hall', 'Tent']);
    const history = await fetch(`${node.file.url}/api/bench/history`, { headers: { cookie } });
    expect(await history.json()).toMatchObject([{ who: 'Test phone, from a file', what: '' }]);
    await ask('/plain/open', {});
    const other = await fetch(`${node.file.url}/api/bench/history`, { headers: { cookie } });
    expect(await other.json()).toMatchObject([{ who: 'Test phone', what: 'name of the show' }, {}]);
  });

  it('that play cannot be put into the bin, and one in the bin comes out when it is opened', async () => {
    expect(await ask('/plain/bin', {})).toMatchObject({ status: 422, json: { error: 'This show plays: open another one first' } });
    await ask('/file', JSON.stringify(tent));
    expect((await ask('/tent/bin', {})).status).toBe(204);
    expect((await list()).shows.find(({ id }) => id === 'tent')?.binned?.who).toBe('Test phone');
    // Putting it there and opening it at once come one after the other.
    const both = await Promise.all([ask('/tent/open', {}), ask('/tent/bin', {})]);
    expect(both.map(({ status }) => status)).toEqual([204, 422]);
    expect((await list()).shows.find(({ id }) => id === 'tent')?.binned).toBeUndefined();
  });

  it('are nobody’s but an operator’s, and what makes no sense is refused in words', async () => {
    const helper = await pair(node, 'helper');
    for (const path of ['', '/plain/file', '/plain/opening']) expect((await ask(path, undefined, helper)).status).toBe(403);
    for (const path of ['', '/file', '/plain/open', '/plain/bin', '/plain/name', '/plain/back'])
      expect((await ask(path, path === '/file' ? '{}' : { empty: true, name: 'x' }, helper)).status).toBe(403);
    expect((await list()).shows).toHaveLength(1);
    const wrong: readonly (readonly [string, object | string, string])[] = [
      ['', { empty: true, name: '' }, 'A new show needs a name'],
      ['', { demo: '../../package.json' }, 'There is no demo show "../../package.json"'],
      ['', { like: 'nowhere', name: 'x' }, 'There is no show "nowhere"'],
      ['/nowhere/open', {}, 'There is no show "nowhere"'],
      ['/nowhere/back', {}, 'There is no show "nowhere"'],
      ['/plain/name', { was: 'Plain', now: 'a\nb' }, 'A show needs a name'],
      ['/file', '{"format":"duskhand-show","version":99}', 'This show was made by a newer Duskhand'],
      ['/file', '['.repeat(500) + ']'.repeat(500), 'nested'],
    ];
    for (const [path, body, words] of wrong) {
      const { status, json } = await ask(path, body);
      expect([path, status, (json as Refusal).error]).toEqual([path, 422, expect.stringContaining(words)]);
    }
    expect((await list()).shows).toHaveLength(1);
  });

  it('are made from those that come with the program, where it is installed', async () => {
    const { demos } = await list();
    expect(demos.map(({ name }) => name)).toEqual(['Barn wedding', 'Garden party', 'Winter dance']);
    const made = await ask('', { demo: demos[1]?.file });
    expect(made.json).toEqual({ id: 'garden-party', name: 'Garden party' });
    expect((await list()).plays).toBe('plain');
    expect((await ask('/garden-party/open', {})).status).toBe(204);
    expect((await node.status()).show.name).toBe('Garden party');
  });
});

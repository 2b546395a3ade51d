import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, test } from 'vitest';
import { isRoot, type Running, Venue } from '../helpers/namespace.ts';
import { endAll, newFolder, showFile, until } from '../helpers/node-process.ts';
import { plainShow } from './plain-show.ts';

const program = fileURLToPath(new URL('../../dist/node/main.js', import.meta.url));
const asker = fileURLToPath(new URL('../helpers/ask-name.mjs', import.meta.url));
const sender = fileURLToPath(new URL('../helpers/send-garbage.mjs', import.meta.url));
let venue: Venue | undefined;

afterEach(async () => {
  await venue?.tearDown();
  await endAll();
});

/** A booth with a cable to the floor and an address, and no way anywhere else. */
async function booth(): Promise<Venue> {
  venue = new Venue();
  await venue.build(['10.78.0.2/24']);
  await venue.plugIn();
  await venue.ip('booth', 'addr', 'add', '10.78.0.1/24', 'dev', 'eth0');
  await venue.ip('booth', 'link', 'set', 'eth0', 'up');
  // The asker is no more than a phone: its library sends by the default route only.
  await venue.ip('floor', 'route', 'add', 'default', 'dev', 'br0');
  return venue;
}

async function startNode(at: Venue, ...more: string[]): Promise<Running> {
  const words = ['run', '--show', showFile(plainShow), '--data', newFolder(), '--http', '0.0.0.0:0', '--name', 'rack', ...more];
  const node = at.start('booth', process.execPath, program, ...words);
  await until('line of the node', () => (node.out.length > 0 ? true : undefined));
  return node;
}

const ask = async (at: Venue, name: string): Promise<string> => (await at.run('floor', process.execPath, asker, name)).trim();

describe.skipIf(!isRoot)('The name of the node on the network', () => {
  test('is answered for with its address, by a client that knows neither (RFC 6762, multicast-dns as the phone)', async () => {
    const at = await booth();
    await at.ip('booth', 'route', 'add', 'default', 'dev', 'eth0');
    await startNode(at, '--artnet', 'off');
    expect(await ask(at, 'rack.local')).toBe('10.78.0.1');
    // Nobody answers for a name that is not the node's.
    await expect(ask(at, 'other.local')).rejects.toThrow();
  });

  test('needs no default route, and follows the address to another', async () => {
    const at = await booth();
    const node = await startNode(at, '--artnet', 'off');
    expect(await ask(at, 'rack.local')).toBe('10.78.0.1');
    await at.ip('booth', 'addr', 'flush', 'dev', 'eth0');
    await at.ip('booth', 'addr', 'add', '10.78.0.9/24', 'dev', 'eth0');
    await until('the other address', async () => ((await ask(at, 'rack.local')) === '10.78.0.9' ? true : undefined));
    expect(node.errors.join('\n')).not.toContain('rack.local');
  });

  test('outlives whatever is sent to the ports of the node, and nothing untrue is said of it', async () => {
    const at = await booth();
    const node = await startNode(at);
    await at.run('floor', process.execPath, sender, '224.0.0.251:5353', '10.78.0.1:5353', '10.78.0.1:5568', '10.78.0.1:6454');
    expect(await ask(at, 'rack.local')).toBe('10.78.0.1');
    expect(node.process.exitCode).toBeNull();
    expect(node.errors.filter((line) => line.includes('rack.local'))).toEqual([]);
    const said = () => node.errors.filter((line) => line.includes('port 5353'));
    await until('what is said of it', () => said().length > 0 || undefined);
    expect(said()).toHaveLength(1);
  });
});

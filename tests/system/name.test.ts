import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, test } from 'vitest';
import { isRoot, Venue } from '../helpers/namespace.ts';
import { endAll, newFolder, showFile, until } from '../helpers/node-process.ts';
import { plainShow } from './plain-show.ts';

const program = fileURLToPath(new URL('../../dist/node/main.js', import.meta.url));
const asker = fileURLToPath(new URL('../helpers/ask-name.mjs', import.meta.url));
let venue: Venue | undefined;

afterEach(async () => {
  await venue?.tearDown();
  await endAll();
});

describe.skipIf(!isRoot)('The name of the node on the network', () => {
  test('is answered for with its address, by a client that knows neither (RFC 6762, multicast-dns as the phone)', async () => {
    venue = new Venue();
    await venue.build(['10.78.0.2/24']);
    await venue.plugIn();
    await venue.ip('booth', 'addr', 'add', '10.78.0.1/24', 'dev', 'eth0');
    await venue.ip('booth', 'link', 'set', 'eth0', 'up');
    await venue.ip('booth', 'route', 'add', 'default', 'dev', 'eth0');
    await venue.ip('floor', 'route', 'add', 'default', 'dev', 'br0');
    const words = [
      'run',
      '--show',
      showFile(plainShow),
      '--data',
      newFolder(),
      '--http',
      '0.0.0.0:0',
      '--artnet',
      'off',
      '--name',
      'rack',
    ];
    const node = venue.start('booth', process.execPath, program, ...words);
    await until('line of the node', () => (node.out.length > 0 ? true : undefined));
    expect((await venue.run('floor', process.execPath, asker, 'rack.local')).trim()).toBe('10.78.0.1');
    // Nobody answers for a name that is not the node's.
    await expect(venue.run('floor', process.execPath, asker, 'other.local')).rejects.toThrow();
  });
});

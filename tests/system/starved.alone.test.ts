import { execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';
import { LOOPBACK, showFile, until } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { swayingShow } from './plain-show.ts';

const path = (file: string): string => fileURLToPath(new URL(file, import.meta.url));
/** Runs Node with so many descriptors and no more. */
const starving = (descriptors: number, ...words: string[]): [string, string[]] => [
  'sh',
  ['-c', `ulimit -n ${descriptors}; exec "$0" "$@"`, process.execPath, ...words],
];

it('outputs, links and monitor live through having no descriptors left, say so, and go on when there are some again', async () => {
  const { stdout } = await promisify(execFile)(...starving(256, path('../helpers/starved.mjs')));
  const told = JSON.parse(stdout) as Record<string, unknown> & { readonly log: readonly string[] };
  expect(told).toMatchObject({
    limit: 'EMFILE',
    before: ['sending', 'sending'],
    // Nothing is seen, which is not the same as that nothing is there.
    seen: [null, null],
    neighbour: true,
    starved: ['failing', 'failing'],
    after: ['sending', 'sending'],
    links: true,
  });
  const about = (what: RegExp): string[] => told.log.filter((line) => what.test(line));
  expect(about(/network interfaces/)).toEqual([expect.stringContaining('cannot be looked at (EMFILE)')]);
  for (const output of ['sACN output "main"', 'Art-Net output "art"']) {
    expect(about(new RegExp(`^${output}: too many files and sockets are open \\(EMFILE\\)`)), output).toHaveLength(1);
    expect(about(new RegExp(`^${output}: sends go through again`)), output).toHaveLength(1);
  }
});

it('a node goes on playing while strangers hold all its connections open', async () => {
  const wire = await Listener.open();
  const folder = mkdtempSync(join(tmpdir(), 'duskhand-starved-'));
  const words = ['run', '--data', folder, '--http', '127.0.0.1:0', ...LOOPBACK, '--sacn', wire.address, '--artnet', 'off'];
  const node = spawn(...starving(256, path('../../dist/node/main.js'), ...words, '--show', showFile(swayingShow)), {
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  const strangers: Socket[] = [];
  try {
    const url = await until('node.json', () => {
      try {
        return new URL((JSON.parse(readFileSync(join(folder, 'node.json'), 'utf8')) as { url: string }).url);
      } catch {
        return undefined;
      }
    });
    await until('frames', () => wire.heard.length > 20 || undefined);
    for (let i = 0; i < 400; i++) {
      const stranger = connect(Number(url.port), url.hostname);
      stranger.on('error', () => undefined);
      stranger.write('GET / HTTP/1.1\r\n');
      strangers.push(stranger);
    }
    const before = wire.heard.length;
    // Links are looked at every tenth of a second: a hundred frames at 40 a second are time enough to trip over it.
    await until('a hundred frames more', () => (wire.heard.length > before + 100 && node.exitCode === null) || undefined);
    expect(node.exitCode).toBeNull();
  } finally {
    for (const stranger of strangers) stranger.destroy();
    wire.close();
    if (node.exitCode === null) {
      const ended = once(node, 'exit');
      node.kill('SIGKILL');
      await ended;
    }
    rmSync(folder, { recursive: true, force: true });
  }
});

import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { afterEach, expect, test } from 'vitest';
import { NodeClient } from '../../node/cli/client.ts';
import { endAll, LOOPBACK, NodeProcess, newFolder, showFile, until } from '../helpers/node-process.ts';
import { pair } from '../helpers/remote.ts';
import { plainShow } from './plain-show.ts';

/** What the node and its commands write to a terminal. */
afterEach(endAll);

const MAIN = fileURLToPath(new URL('../../dist/node/main.js', import.meta.url));

test('the address on the console is the one that the node listens on', async () => {
  const node = await NodeProcess.start({ show: plainShow, http: '127.0.0.3:0' });
  const [, address] = await node.says('stderr', /Open (\S+) within ten minutes/);
  expect(address).toMatch(/^http:\/\/127\.0\.0\.3:\d+$/);
  expect((await fetch(`${address}/api/me`)).status).toBe(200);
  expect(await node.does('pair')).toContain(`${address}/#pair=`);
});

test('no name moves the cursor, hides a line or turns the writing round', async () => {
  const evil = '\u001b[2J\u202egood\u009b1mname';
  const node = await NodeProcess.start({ show: plainShow });
  const { code, stdout, stderr } = await node.client('press', evil);
  expect([code, stdout]).toEqual([1, '']);
  expect(stderr).toMatch(/^There is no button "\\u001b\[2J\\u202egood\\u009b1mname"; /);
  expect(await pair(node, 'helper', evil)).toBe('');
  expect(await node.does('remotes')).toContain('No phone is paired');
});

test('a log that nobody reads any more costs lines, not light', async () => {
  const folder = newFolder();
  const words = ['run', '--data', folder, '--http', '127.0.0.1:0', ...LOOPBACK, '--sacn', 'off', '--artnet', 'off'];
  const child = spawn(process.execPath, [MAIN, ...words, '--show', showFile(plainShow)], { stdio: ['ignore', 'pipe', 'pipe'] });
  child.stdout.destroy();
  child.stderr.destroy();
  try {
    const client = new NodeClient(folder);
    await until('an answer', async () => ((await client.isRunning()) ? true : undefined));
    const frames = async () => ((await client.get('play/status')) as { frames: number }).frames;
    const first = await frames();
    await until('more frames', async () => ((await frames()) > first + 20 ? true : undefined));
    expect(child.exitCode).toBeNull();
  } finally {
    child.kill('SIGKILL');
  }
});

import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, it } from 'vitest';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { plainShow } from './plain-show.ts';

afterEach(endAll);

it('a program that watches over the node asks with a token of its own, which outlives restarts and opens nothing else', async () => {
  const node = await NodeProcess.start({ show: plainShow });
  const path = join(node.folder, 'upkeep.token');
  expect(statSync(path).mode & 0o777).toBe(0o600);
  const token = readFileSync(path, 'utf8').trim();
  const ask = (of: NodeProcess, what: string, given = token) =>
    fetch(`${of.file.url}${what}`, { headers: { authorization: `Bearer ${given}` } });

  const health = await ask(node, '/health');
  expect(health.status).toBe(200);
  // Its outputs are off here, so screens say that nothing sends its universes.
  expect(await health.json()).toMatchObject({ state: 'trouble', troubles: [expect.objectContaining({ id: 'unsent' })] });
  const metrics = await ask(node, '/metrics');
  expect(metrics.headers.get('content-type')).toBe('text/plain; version=0.0.4; charset=utf-8');
  const text = await metrics.text();
  expect(Number(/^duskhand_frames_total (\d+)$/m.exec(text)?.[1])).toBeGreaterThan(0);
  expect(Number(/^process_open_fds (\d+)$/m.exec(text)?.[1])).toBeGreaterThan(3);

  for (const what of ['/health', '/metrics']) {
    expect((await ask(node, what, 'x'.repeat(43))).status).toBe(401);
    expect((await fetch(`${node.file.url}${what}`)).status).toBe(401);
  }
  expect((await ask(node, '/api/local/play/status')).status).toBe(401);

  await node.stop();
  const again = await NodeProcess.start({ folder: node.folder });
  expect((await ask(again, '/health')).status).toBe(200);
});

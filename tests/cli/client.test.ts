import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { NodeClient } from '../../node/cli/client.ts';

let folder: string;
let server: Server | undefined;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'duskhand-test-'));
});
afterEach(() => {
  server?.close();
  server?.closeAllConnections();
  server = undefined;
  rmSync(folder, { recursive: true });
});

const write = (text: string) => writeFileSync(join(folder, 'node.json'), text);
const ask = () => new NodeClient(folder).get('play/status');
const nobody = () => `No node is running with the data folder ${folder}; start one with "duskhand run"`;

/** Somebody who answers everything alike, at the address that node.json gives. */
async function answering(status: number, body: string): Promise<void> {
  server = createServer((_request, response) => void response.writeHead(status).end(body));
  const there = server;
  await new Promise<void>((resolve) => there.listen(0, '127.0.0.1', resolve));
  const { port } = there.address() as AddressInfo;
  write(JSON.stringify({ pid: 1, url: `http://127.0.0.1:${port}`, token: 'x'.repeat(43) }));
}

describe('a client without a node', () => {
  it('says so where node.json is missing', async () => {
    await expect(ask()).rejects.toThrow(nobody());
    expect(await new NodeClient(folder).isRunning()).toBe(false);
  });

  it.each(['', '{"pid": 1', '[]', '{"pid": 1, "url": "nowhere", "token": ""}', '\0\xff'])(
    'says so where node.json holds %j',
    async (text) => {
      write(text);
      await expect(ask()).rejects.toThrow(nobody());
    },
  );

  it.each([
    [200, '<p>Something else</p>'],
    [401, '{"error": "Who are you?"}'],
    [404, ''],
    [500, '"no"'],
    [302, '{"problems": []}'],
  ])('says so where somebody else has its port and answers %i with %j', async (status, body) => {
    await answering(status, body);
    await expect(ask()).rejects.toThrow(nobody());
    expect(await new NodeClient(folder).isRunning()).toBe(false);
  });

  it('says so where nobody has its port any more', async () => {
    await answering(200, '{}');
    await new Promise((resolve) => server?.close(resolve));
    await expect(ask()).rejects.toThrow(nobody());
  });
});

describe('a client with a node', () => {
  it('gives its answer, and its refusal with the places', async () => {
    await answering(200, '{"frames": 7}');
    expect(await ask()).toEqual({ frames: 7 });
    server?.close();
    const problems = [{ path: 'tempo', message: 'must be at most 300 (found 3000)' }];
    await answering(422, JSON.stringify({ error: 'The show has mistakes', problems }));
    await expect(ask()).rejects.toMatchObject({ message: 'The show has mistakes', problems });
  });
});

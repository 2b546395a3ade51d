import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer as createHttpServer, request } from 'node:http';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { Router } from 'express';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { LocalAccess } from '../../node/api/local-access.ts';
import type { NodeFile } from '../../node/api/local-contract.ts';
import { WebServer } from '../../node/api/server.ts';
import { Visitors } from '../../node/api/visitors.ts';
import { InputError } from '../../node/core/errors.ts';
import { openDatabase } from '../../node/store/database.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { until } from '../helpers/node-process.ts';
import { recordedLog } from '../helpers/recorded-log.ts';
import { remotesIn } from '../helpers/store-in-place.ts';

/** The web server with routes of the test's own: what it lets in, and what it gives away. */
const folder = mkdtempSync(join(tmpdir(), 'duskhand-test-'));
const log = recordedLog();
const db = openDatabase(join(folder, 'store'));
const remotes = remotesIn(db);
const clock = new FakeClock();
const visitors = new Visitors(remotes, clock);
let server: WebServer;
let url: string;
let token: string;

function build(port: number, host = '127.0.0.1'): WebServer {
  const routes = Router();
  routes.post('/echo', (request, response) => void response.json({ got: request.body ?? null }));
  routes.get('/input', () => {
    throw new InputError('The show has mistakes', [{ path: 'tempo', message: 'must be at most 300' }]);
  });
  routes.get('/full', async () => {
    throw Object.assign(new Error('database or disk is full'), { code: 'SQLITE_FULL' });
  });
  routes.get('/bug', () => {
    throw new Error('password in the message');
  });
  const browsers = Router();
  browsers.post('/echo', (request, response) => void response.json({ got: request.body ?? null }));
  const access = new LocalAccess(folder);
  return new WebServer({
    ...{ host, port, access, visitors, local: { test: routes }, upkeep: Router(), browsers, app: join(folder, 'app'), clock, log },
    opened: () => undefined,
    listening: () => undefined,
  });
}

const FILE = join(folder, 'node.json');
const announced = (): NodeFile | undefined => (existsSync(FILE) ? (JSON.parse(readFileSync(FILE, 'utf8')) as NodeFile) : undefined);

beforeAll(async () => {
  mkdirSync(join(folder, 'app'));
  writeFileSync(join(folder, 'app', 'index.html'), '<p>The app</p>');
  server = build(0);
  server.start();
  ({ url, token } = await until('node.json', announced));
});
afterAll(async () => {
  await server.stop();
  db.close();
  rmSync(folder, { recursive: true });
});
beforeEach(() => {
  log.lines.length = 0;
});

const local = (path: string, init: RequestInit = {}) => {
  const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json', ...init.headers };
  return fetch(`${url}/api/local/${path}`, { ...init, headers });
};
const post = (body: string | Uint8Array<ArrayBuffer>, headers: Record<string, string> = {}) =>
  local('test/echo', { method: 'POST', body, headers });
const errorOf = async (response: Response): Promise<string> => ((await response.json()) as { error: string }).error;

describe('what is for the node’s own user', () => {
  it('answers who has the token', async () => {
    const response = await post('{"a": [1, 2]}');
    expect(response.status).toBe(200);
    expect(await response.json()).toEqual({ got: { a: [1, 2] } });
    expect(response.headers.get('cache-control')).toBe('no-store');
  });

  it.each([
    ['none', {}],
    ['an empty one', { authorization: 'Bearer ' }],
    ['another', { authorization: `Bearer ${'A'.repeat(43)}` }],
    ['another scheme', { authorization: 'Basic YTpi' }],
  ])('refuses everything with the token: %s', async (_name, headers) => {
    for (const path of ['test/echo', 'test/bug', 'nothing', '']) {
      const response = await fetch(`${url}/api/local/${path}`, { method: 'POST', headers, body: '{' });
      expect(response.status).toBe(401);
      expect(await response.json()).toEqual({ error: 'This needs the access of the node’s own user' });
    }
    expect(log.lines).toEqual([]);
  });

  it('refuses a token that lacks its end, has one more letter, or stands in the address', async () => {
    for (const wrong of [token.slice(0, -1), `${token}A`, token.toUpperCase()]) {
      expect((await local('test/input', { headers: { authorization: `Bearer ${wrong}` } })).status).toBe(401);
    }
    expect((await fetch(`${url}/api/local/test/input?token=${token}`)).status).toBe(401);
  });

  it.each([
    ['{"a": ', 400],
    ['', 200],
    ['\u0000', 400],
    [`{"a": "${'x'.repeat(9 * 2 ** 20)}"}`, 413],
  ])('takes or refuses a body by its form and size: case %#', async (body, status) => {
    const response = await post(body);
    expect(response.status).toBe(status);
    if (status !== 200) expect(await errorOf(response)).toMatch(/\S/);
    expect(log.lines).toEqual([]);
  });

  it('takes a body of several megabytes, and none that unpacks to more than it may have', async () => {
    expect((await post(JSON.stringify('x'.repeat(7 * 2 ** 20)))).status).toBe(200);
    const bomb = gzipSync(`"${'x'.repeat(50 * 2 ** 20)}"`);
    expect((await post(new Uint8Array(bomb), { 'content-encoding': 'gzip' })).status).toBe(413);
  });

  it('survives a body that is nested without end', async () => {
    const response = await post('['.repeat(4 * 2 ** 20));
    expect(response.status).toBe(400);
    expect((await post('1')).status).toBe(200);
  });

  it('refuses a body that is nested deeper than anything it knows, and says where', async () => {
    const deep = `{"a": [7, {"was": ${'['.repeat(100_000)}${']'.repeat(100_000)}}]}`;
    const form = `{"name": ${'['.repeat(40)}${']'.repeat(40)}}`;
    const stranger = { method: 'POST', headers: { 'content-type': 'application/json' }, body: form };
    for (const [response, place] of [
      [await post(deep), 'a[1].was[0][0]'],
      [await fetch(`${url}/api/echo`, stranger), 'name[0][0]'],
    ] as const) {
      expect(response.status).toBe(400);
      const { error, problems } = (await response.json()) as { error: string; problems: { path: string; message: string }[] };
      expect(error).toBe('This is nested too deep');
      expect(problems[0]?.path.startsWith(place)).toBe(true);
    }
    expect(log.lines).toEqual([]);
  });

  it('says what is wrong with an input, and nothing of what is wrong with itself', async () => {
    const input = await local('test/input');
    expect(input.status).toBe(422);
    const problems = [{ path: 'tempo', message: 'must be at most 300' }];
    expect(await input.json()).toEqual({ error: 'The show has mistakes', problems });
    expect(log.lines).toEqual([]);

    const bug = await local('test/bug');
    expect(bug.status).toBe(500);
    expect(await bug.json()).toEqual({ error: 'The node could not do this; its log says why' });
    expect(log.lines.join()).toContain('password in the message');
  });

  it('has nothing beside its routes', async () => {
    for (const path of ['', 'test', 'test/other', '../../etc/passwd', '%2e%2e/%2e%2e/etc/passwd', '%']) {
      const { status } = await local(path);
      expect([400, 404]).toContain(status);
    }
  });
});

describe('what is for browsers', () => {
  it('serves the app and no other file of the folder', async () => {
    expect(await (await fetch(`${url}/`)).text()).toBe('<p>The app</p>');
    for (const path of [
      '/node.json',
      '/../node.json',
      '/%2e%2e/node.json',
      '/..%2fnode.json',
      '/app/',
      '/assets/../../node.json',
    ]) {
      expect(await raw(path)).not.toContain(token);
    }
  });

  it('takes no more than a name and a code', async () => {
    const say = (body: string) =>
      fetch(`${url}/api/echo`, { method: 'POST', body, headers: { 'content-type': 'application/json' } });
    expect((await say('{"name": "Phone"}')).status).toBe(200);
    expect((await say(`{"name": "${'x'.repeat(5000)}"}`)).status).toBe(413);
  });

  it('turns away what comes under a foreign name or from a foreign page', async () => {
    expect(await raw('/', { host: 'example.com' })).toContain('403');
    expect(await raw('/', { origin: 'http://example.com' })).toContain('403');
  });
});

/** As it stands: `fetch` would tidy the path and refuse to set some headers. @returns status and body. */
function raw(path: string, headers: Record<string, string> = {}): Promise<string> {
  const { hostname, port } = new URL(url);
  return new Promise((resolve, reject) => {
    request({ hostname, port, path, headers: { host: `${hostname}:${port}`, ...headers } }, (response) => {
      let text = `${response.statusCode} `;
      response.on('data', (chunk) => {
        text += chunk;
      });
      response.on('end', () => resolve(text));
    })
      .on('error', reject)
      .end();
  });
}

describe('where it is to be found', () => {
  const at = async (host: string): Promise<string> => {
    const one = build(0, host);
    one.start();
    await until('an address', () => (/:0$/.test(one.address('192.0.2.7')) ? undefined : true));
    const address = one.address('192.0.2.7').replace(/:\d+$/, '');
    await one.stop();
    return address;
  };

  it('is the address that it listens on, or one of this machine’s where it listens on all', async () => {
    expect(await at('127.0.0.1')).toBe('http://127.0.0.1');
    expect(await at('127.0.0.9')).toBe('http://127.0.0.9');
    expect(await at('localhost')).toMatch(/^http:\/\/(127\.0\.0\.1|\[::1\])$/);
    expect(await at('0.0.0.0')).toBe('http://192.0.2.7');
    expect(await at('')).toBe('http://192.0.2.7');
  });
});

describe('a disk that refuses', () => {
  it('is told of in a sentence', async () => {
    const response = await local('test/full');
    expect(response.status).toBe(507);
    expect(await errorOf(response)).toMatch(/^The disk of the node is full/);
  });
});

describe('a server that stops', () => {
  it('waits for nobody who holds a connection, and takes node.json away', async () => {
    await server.stop();
    server = build(0);
    server.start();
    const { port } = new URL((await until('node.json', announced)).url);
    const held = request({ port, host: '127.0.0.1', path: '/api/local/test/echo', method: 'POST' });
    held.on('error', () => undefined);
    held.write('{');
    await expect.poll(() => held.socket?.connecting).toBe(false);
    await server.stop();
    expect(announced()).toBeUndefined();
  });

  it('lets go of a port that it could not get', async () => {
    const holder = createServer();
    await new Promise<void>((resolve) => holder.listen(0, '127.0.0.1', resolve));
    const { port } = holder.address() as AddressInfo;
    const blocked = build(port);
    blocked.start();
    await expect.poll(() => log.lines).toHaveLength(1);
    expect(log.lines[0]).toMatch(
      new RegExp(`^The web server cannot listen on 127.0.0.1:${port} \\(.*\\). The lights play on; it tries again.$`),
    );
    await blocked.stop();
    await new Promise((resolve) => holder.close(resolve));
    // The port is free for anybody.
    const other = createHttpServer();
    await new Promise<void>((resolve) => other.listen(port, '127.0.0.1', resolve));
    other.close();
  });
});

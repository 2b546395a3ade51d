import type { Browser, Page, WebSocketRoute } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { State, ToRemote } from '../../node/api/contract.ts';
import { BEAT_IN_VIEW } from '../../node/core/remote.ts';
import { openBrowser, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { attendedShow } from '../system/attended-show.ts';

/** What no node of ours says and no phone should have: the page says so, and never goes blank. */
let browser: Browser;
let node: NodeProcess;

beforeAll(async () => {
  browser = await openBrowser();
  node = await NodeProcess.start({ show: attendedShow });
});
afterAll(async () => {
  await browser.close();
  await endAll();
});

/** A paired page whose line passes through our hands: what the node says can be changed, and more be said in its name. */
async function tampered(page: Page, change: (message: ToRemote) => unknown = (message) => message) {
  const lines: WebSocketRoute[] = [];
  const heard: string[] = [];
  await page.routeWebSocket(/\/ws$/, (line) => {
    lines.push(line);
    const server = line.connectToServer();
    line.onMessage((message) => {
      heard.push(String(message));
      server.send(message);
    });
    server.onMessage((message) => {
      line.send(typeof message === 'string' ? JSON.stringify(change(JSON.parse(message) as ToRemote)) : message);
    });
  });
  await page.reload();
  await page.locator('.blackout').waitFor();
  const [line] = lines;
  if (line === undefined) throw new Error('The page has opened no line');
  return { say: (message: string | Buffer) => line.send(message), heard };
}

const withState = (change: (state: State) => unknown) => (message: ToRemote) =>
  message.type === 'state' ? { ...message, state: change(message.state) } : message;

test.each(['#pair=%', '#pair=%E0%A4%A', '#pair='])('a broken link (%s) gives the pairing page', async (hash) => {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(`${node.file.url}/${hash}`);
  await page.getByLabel('Code').waitFor();
  await context.close();
});

test('a second link, opened while the pairing page is up, brings its code', async () => {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(`${node.file.url}/#pair=ABCD-EFGH`);
  await page.getByLabel('Code').waitFor();
  await page.goto(`${node.file.url}/#pair=JKLM-NPQR`);
  await expect.poll(() => page.getByLabel('Code').inputValue()).toBe('JKLM-NPQR');
  await context.close();
});

test('a browser whose storage is refused has the whole remote, and only forgets', async () => {
  const { page, context } = await pairedPage(browser, node);
  await context.addInitScript(() => {
    Object.defineProperty(globalThis, 'localStorage', {
      get() {
        throw new DOMException('denied', 'SecurityError');
      },
    });
  });
  await page.reload();
  await page.locator('[data-button="warm"]').waitFor();
  await page.goto(`${node.file.url}/#/node`);
  await page.getByText('left hand').click();
  await page.locator('html[data-hand="left"]').waitFor();
  await context.close();
});

test('what is not understood of the line is passed over', async () => {
  const { page, context } = await pairedPage(browser, node);
  const { say } = await tampered(page);
  for (const text of ['garbage', 'null', '7', '[]', '{}', '{"type":"of a later node"}', '{"type":"done","id":-1}']) say(text);
  for (const length of [0, 1, 7, 513]) say(Buffer.alloc(length));
  await page.locator('[data-button="warm"]').click();
  await page.locator('[data-button="warm"][data-state="on"]').waitFor();
  await node.does('release', 'Warm walls');
  await context.close();
});

test('a state that cannot be drawn is said in place of the screen; blackout and the way to others stay', async () => {
  const { page, context } = await pairedPage(browser, node);
  await tampered(
    page,
    withState((state) => ({ ...state, playing: undefined })),
  );
  await page.getByRole('alert').getByText('does not understand').waitFor();
  await expect.poll(() => page.locator('.blackout').isEnabled()).toBe(true);
  await page.getByRole('link', { name: 'Phones' }).click();
  await page.getByRole('heading', { name: 'Who may press' }).waitFor();
  await context.close();
});

test('a page that does not come over the network is said, and come back to later', async () => {
  const { page, context } = await pairedPage(browser, node);
  await page.route(/\/assets\/papers-.*\.js$/, (route) => route.abort());
  await page.goto(`${node.file.url}/#/papers`);
  await page.getByRole('alert').getByText('did not come over the network').waitFor();
  await page.unroute(/\/assets\/papers-.*\.js$/);
  await page.getByRole('button', { name: 'Load it anew' }).click();
  await page.getByRole('heading', { name: 'Papers' }).waitFor();
  await context.close();
});

test('a venue’s network that answers in the node’s place is waited out', async () => {
  const { page, context } = await pairedPage(browser, node);
  let asked = 0;
  await page.route('**/api/me', (route) => {
    asked++;
    return asked < 3 ? route.fulfill({ contentType: 'text/html', body: '<html>Welcome</html>' }) : route.continue();
  });
  await page.reload();
  await page.locator('[data-button="warm"]').waitFor({ timeout: 10_000 });
  expect(asked).toBe(3);
  await context.close();
});

describe('a warning that has run down', () => {
  const overdue = withState((state) => ({
    ...state,
    watch: { phase: 'warned', at: state.now - 5000, fallback: 'blackout', canResume: false },
  }));

  test('is no countdown any more, and the node is asked how things stand', async () => {
    const { page, context } = await pairedPage(browser, node);
    // Without the beats of a page that is looked at, what is left is the one when the line opened, and the one because of the warning.
    await page.addInitScript((every) => {
      const real = globalThis.setInterval;
      globalThis.setInterval = ((act: () => void, millis: number) => (millis === every ? 0 : real(act, millis))) as typeof real;
    }, BEAT_IN_VIEW);
    const { heard } = await tampered(page, overdue);
    await page.getByRole('alert').getByText('goes out now.').waitFor();
    await expect.poll(() => heard.filter((text) => text.includes('"beat"')).length).toBe(2);
    expect(await page.getByRole('alert').filter({ hasText: 'No phone has been heard of' }).textContent()).not.toMatch(/in -?\d+ s/);
    await context.close();
  });
});

import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Cable, LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { findings, misplaced, tooSmall, watchShifts } from '../helpers/look-over.ts';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { type Look, looks, type Place, places } from './looks.ts';

let browser: Browser;
let node: NodeProcess;

beforeAll(async () => {
  browser = await openBrowser();
  node = await NodeProcess.start({ show: 'shows/barn-wedding.json', sacn: '127.0.0.1' });
});
afterAll(async () => {
  await browser.close();
  await endAll();
});

/** What stands at the head of each screen. */
const heads = { tonight: /^Tonight/, wire: 'Wire', papers: 'Papers', node: 'Phones and node' } as const;
const screens = Object.keys(heads) as (keyof typeof heads)[];

/** Opens a screen; some come over the network only now, and until then the one before may still stand there. */
async function open(page: Page, screen: keyof typeof heads): Promise<void> {
  await page.goto(`${node.file.url}/#/${screen}`);
  await page.getByRole('heading', { level: 1, name: heads[screen] }).waitFor({ state: 'attached' });
}

describe.each([
  ['phone', PHONE],
  ['laptop', LAPTOP],
] as const)('On a %s', (_, viewport) => {
  test('the pairing page has no findings and no small targets', async () => {
    const page = await (await browser.newContext({ viewport })).newPage();
    await page.goto(node.file.url);
    await page.getByLabel('Code').waitFor();
    expect(await findings(page)).toEqual([]);
    expect(await tooSmall(page)).toEqual([]);
  });

  test.each(screens)('%s has no findings, no small targets, and nothing that runs off its side', async (screen) => {
    const { page, context } = await pairedPage(browser, node, { viewport });
    await open(page, screen);
    expect(await findings(page)).toEqual([]);
    expect(await tooSmall(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(viewport.width);
    await context.close();
  });

  test('while blacked out the screen says so, and still has no findings', async () => {
    const { page, context } = await pairedPage(browser, node, { viewport });
    await node.command({ do: 'blackout', on: true });
    await page.locator('[data-dark="true"]').waitFor();
    expect(await findings(page)).toEqual([]);
    await node.command({ do: 'blackout', on: false });
    await context.close();
  });
});

test.each([320, 360])(
  'on a phone of %i pixels every name of a screen is whole, and the blackout is within the screen',
  async (width) => {
    const { page, context } = await pairedPage(browser, node, { viewport: { width, height: 640 } });
    for (const screen of screens) {
      await open(page, screen);
      const bar = await page.locator('.bar').evaluate((one) => {
        const right = (element: Element) => Math.round(element.getBoundingClientRect().right);
        const names = [...one.querySelectorAll('a')];
        return {
          cut: names.filter((name) => name.scrollWidth > name.clientWidth).map((name) => name.textContent),
          right: right(one.querySelector('.blackout') as Element),
          wide: document.documentElement.scrollWidth,
        };
      });
      expect(bar.cut).toEqual([]);
      expect(bar.right).toBeLessThanOrEqual(width - 8);
      expect(bar.wide).toBe(width);
    }
    await context.close();
  },
);

const all = process.env.SCREENS === 'all';
const toLookAt = looks.flatMap((look) =>
  places
    .slice(0, all ? places.length : (look.gate ?? 0))
    .map((place): [string, string, Look, Place] => [look.name, place.name, look, place]),
);

test.each(toLookAt)('%s, on a %s: nothing is cut, covered, too small or against the rules', async (_, __, look, place) => {
  const { show = 'shows/barn-wedding.json', outputs } = look;
  const own = await NodeProcess.start(outputs === undefined ? { show, sacn: '127.0.0.1' } : { show, outputs });
  const cable = await Cable.lay(own.file.url);
  const { page, context } = await pairedPage(browser, own, {
    url: cable.url,
    viewport: { width: place.width, height: place.height },
  });
  await look.open?.(page);
  if (place.text !== 1)
    await page.evaluate((size) => document.documentElement.style.setProperty('font-size', size), `${place.text * 100}%`);
  await page.waitForTimeout(300);
  // What a person opens may make room for itself; what comes by itself may move nothing.
  const shifts = look.byItself === true ? await watchShifts(page) : undefined;
  await look.make?.(page, own, cable);
  await page.waitForTimeout(700);
  if (process.env.SCREENS_TO !== undefined)
    await page.screenshot({ path: `${process.env.SCREENS_TO}/${look.name} ${place.name}.png`.replaceAll(' ', '-') });
  expect({
    misplaced: await misplaced(page),
    tooSmall: await tooSmall(page),
    findings: await findings(page),
    moved: (await shifts?.()) ?? [],
  }).toEqual({ misplaced: [], tooSmall: [], findings: [], moved: [] });
  await context.close();
  cable.remove();
  await own.kill();
});

test('the first screen is at most 100 kB, packed: the page, its script, its style and its typeface', async () => {
  // A node takes ten pairings a while, and those above have used them up.
  const fresh = await NodeProcess.start({ show: 'shows/barn-wedding.json' });
  const { page, context } = await pairedPage(browser, fresh);
  const { gzipSync } = await import('node:zlib');
  const assets = async () =>
    (await page.evaluate(() => performance.getEntriesByType('resource').map(({ name }) => name))).filter((url) =>
      url.includes('/assets/'),
    );
  // The typeface comes when there is something to write with it.
  await expect.poll(async () => (await assets()).length).toBeGreaterThanOrEqual(3);
  await page.evaluate(() => document.fonts.ready.then(() => undefined));
  const urls = await assets();
  const bodies = await Promise.all(
    [fresh.file.url, ...urls].map(async (url) => Buffer.from(await (await fetch(url)).arrayBuffer())),
  );
  const packed = bodies.reduce((sum, body) => sum + gzipSync(body).length, 0);
  expect(packed).toBeLessThanOrEqual(100 * 1024);
  await context.close();
});

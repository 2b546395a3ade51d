import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Cable, LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { findings, misplaced, tooSmall } from '../helpers/look-over.ts';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { fullShow } from './full-show.ts';

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

/** Where a state is looked at. `text`: how large letters are, as the reader has set it. */
const places = [
  { name: 'phone', width: 390, height: 844, text: 1 },
  { name: 'small phone', width: 320, height: 640, text: 1 },
  { name: 'phone on its side', width: 844, height: 390, text: 1 },
  { name: 'large letters', width: 390, height: 844, text: 2 },
  { name: 'tablet', width: 820, height: 1180, text: 1 },
  { name: 'laptop', width: 1440, height: 900, text: 1 },
];
type Place = (typeof places)[number];

interface Look {
  readonly name: string;
  readonly show?: object;
  /** Brings the state about; what it returns ends it. */
  readonly make?: (page: Page, node: NodeProcess, cable: Cable) => Promise<unknown>;
  /** Looked at in every run, in the first of the places; the others by `npm run test:screens`. */
  readonly gate?: number;
}

const goTo = (page: Page, screen: string) => page.evaluate((name) => location.replace(`#/${name}`), screen);
const more = (page: Page) => page.getByRole('button', { name: 'More', exact: true });
const looks: Look[] = [
  { name: 'as it starts' },
  {
    name: 'with much on, and a press to take back',
    make: (_, node) => node.command({ do: 'press', button: 'Dance floor' }),
    gate: 2,
  },
  { name: 'full', show: fullShow, gate: 2 },
  {
    name: 'full, a moment chosen',
    show: fullShow,
    make: async (page) => {
      const name = page.locator('.moment-name');
      if (await name.isVisible()) await name.click();
    },
  },
  {
    name: 'full, a button looked for',
    show: fullShow,
    make: async (page) => {
      const name = page.locator('.moment-name');
      if (await name.isVisible()) await name.click();
      await page.getByRole('button', { name: 'Find a button' }).click();
      await page.getByLabel('Find a button').fill('bridesmaids');
    },
  },
  {
    name: 'full, levels',
    show: fullShow,
    make: async (page) => {
      if (await more(page).isVisible()) await more(page).click();
    },
  },
  { name: 'blacked out', make: (_, node) => node.command({ do: 'blackout', on: true }) },
  { name: 'left to the node', make: (_, node) => node.command({ do: 'leave', minutes: 30 }) },
  { name: 'all off', make: (_, node) => node.command({ do: 'all-off', fade: 0.1 }) },
  {
    name: 'without the node',
    make: async (page, _, cable) => {
      cable.hush();
      await page.getByText('has not answered').first().waitFor();
    },
  },
  {
    name: 'empty',
    show: {
      format: 'duskhand-show',
      version: 2,
      id: 'empty',
      name: 'Empty',
      theme: { name: 'None', colours: [] },
      fixtures: [],
      looks: [{ id: 'nothing', name: 'Nothing', parts: [] }],
      buttons: [],
    },
  },
  { name: 'the wire', make: (page) => goTo(page, 'wire'), show: fullShow },
  {
    name: 'the wire, a light picked',
    make: async (page) => {
      await goTo(page, 'wire');
      await page.locator('.wire-light').first().click();
    },
  },
  {
    name: 'the wire, a walk',
    make: async (page) => {
      await goTo(page, 'wire');
      await page.getByRole('button', { name: 'Walk through' }).click();
      await page.getByText('Do you see it?').waitFor();
    },
  },
  { name: 'papers', make: (page) => goTo(page, 'papers'), show: fullShow },
  { name: 'phones and node', make: (page) => goTo(page, 'node') },
];

const all = process.env.SCREENS === 'all';
const toLookAt = looks.flatMap((look) =>
  places
    .slice(0, all ? places.length : (look.gate ?? 0))
    .map((place): [string, string, Look, Place] => [look.name, place.name, look, place]),
);

test.each(toLookAt)('%s, on a %s: nothing is cut, covered, too small or against the rules', async (_, __, look, place) => {
  const own = await NodeProcess.start({ show: look.show ?? 'shows/barn-wedding.json', sacn: '127.0.0.1' });
  const cable = await Cable.lay(own.file.url);
  const { page, context } = await pairedPage(browser, own, {
    url: cable.url,
    viewport: { width: place.width, height: place.height },
  });
  if (place.text !== 1)
    await page
      .addStyleTag({ content: `html { font-size: ${place.text * 100}% !important; }` })
      .catch(() => page.evaluate((size) => document.documentElement.style.setProperty('font-size', size), `${place.text * 100}%`));
  await look.make?.(page, own, cable);
  await page.waitForTimeout(700);
  if (process.env.SCREENS_TO !== undefined)
    await page.screenshot({ path: `${process.env.SCREENS_TO}/${look.name} ${place.name}.png`.replaceAll(' ', '-') });
  expect({ misplaced: await misplaced(page), tooSmall: await tooSmall(page), findings: await findings(page) }).toEqual({
    misplaced: [],
    tooSmall: [],
    findings: [],
  });
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

import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { fullShow } from '../helpers/full-show.mjs';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';

/** What Tonight promises a thumb: a third of the screen for the room, everything else in reach, words that have all of themselves at hand. */
let browser: Browser;
let context: BrowserContext | undefined;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
afterEach(async () => {
  await context?.close();
  await endAll();
});

async function phone(show: object | string, viewport = PHONE): Promise<{ page: Page; node: NodeProcess }> {
  const node = await NodeProcess.start({ show, sacn: '127.0.0.1' });
  const paired = await pairedPage(browser, node, { viewport });
  context = paired.context;
  return { page: paired.page, node };
}
const demo = 'shows/barn-wedding.json';

test.each([
  [320, 640],
  [360, 640],
  [390, 664],
  [390, 844],
])('on a phone of %i by %i the room has a third of it, and nothing has to be scrolled to', async (width, height) => {
  const { page } = await phone(fullShow, { width, height });
  const seen = await page.evaluate(() => {
    const box = (selector: string) => (document.querySelector(selector) as Element).getBoundingClientRect();
    const main = document.querySelector('main') as Element;
    return {
      room: box('.room').height,
      ratio: box('.room').width / box('.room').height,
      scrolls: main.scrollHeight - main.clientHeight,
      under: ['.tools', '.moment-bar', '.hold-row'].map((one) => box('main').bottom - box(one).bottom),
      bar: box('.bar').height,
    };
  });
  expect(seen.room).toBeGreaterThanOrEqual(height / 3);
  expect(seen.ratio).toBeCloseTo(160 / 116, 1);
  expect(seen.scrolls).toBe(0);
  for (const below of seen.under) expect(below).toBeGreaterThanOrEqual(0);
  // One row: 56 px of blackout with a margin of 8 above and below, and the line.
  expect(seen.bar).toBeLessThanOrEqual(74);
});

describe('What guests see', () => {
  test('is whole, or says that there is more and shows it when it is touched', async () => {
    const { page, node } = await phone(demo, { width: 320, height: 640 });
    await node.command({ do: 'press', button: 'Dance floor' });
    const rest = page.locator('.what .rest');
    await rest.waitFor();
    await page.locator('.what > summary').click();
    const line = page.locator('.what > p');
    await line.waitFor();
    expect(await line.evaluate((one) => one.scrollHeight - one.clientHeight)).toBeLessThanOrEqual(0);
    // The whole of it lies where it can be read: within the screen.
    const box = await line.boundingBox();
    expect(box?.y).toBeGreaterThanOrEqual(0);
    await page.locator('.what > summary').click();
    await node.command({ do: 'all-off', fade: 0 });
    await rest.waitFor({ state: 'detached' });
  });
});

test('a fade is a line that grows as the light comes; the button stays as it was', async () => {
  const { page, node } = await phone({
    format: 'duskhand-show',
    version: 2,
    id: 'slow',
    name: 'Slow',
    theme: { name: 'None', colours: [] },
    fixtures: [{ id: 'one', name: 'One', type: 'dimmer', mode: '1ch', universe: 1, address: 1, use: 'uplight' }],
    looks: [{ id: 'slow', name: 'Slow', fade: 20, parts: [{ who: [{ all: true }], level: 1 }] }],
    buttons: [{ id: 'slow', name: 'Slow', starts: [{ look: 'slow' }] }],
  });
  const button = page.locator('[data-button="slow"]');
  const before = await button.evaluate((one) => ({ height: one.clientHeight, face: getComputedStyle(one).backgroundColor }));
  await node.command({ do: 'press', button: 'slow' });
  const line = button.locator('.fade-line');
  await line.waitFor();
  const width = () => line.locator('span').evaluate((one) => one.getBoundingClientRect().width);
  const first = await width();
  // Without movement, as this page is asked to be, it takes a step a second.
  await until('a longer line', async () => ((await width()) > first + 5 ? true : undefined));
  const after = await button.evaluate((one) => ({ height: one.clientHeight, face: getComputedStyle(one).backgroundColor }));
  expect(after).toEqual(before);
  expect((await line.boundingBox())?.height).toBeLessThanOrEqual(4);
});

describe('Those who listen', () => {
  test('hear the papers as tables and lists on a phone too, and an address in words', async () => {
    const { page } = await phone(demo);
    await page.getByRole('link', { name: 'Phones and node' }).click();
    await page.getByRole('link', { name: 'Papers' }).click();
    const row = page.getByRole('row').filter({ hasText: 'Barn door 1' });
    await row.waitFor();
    expect(await page.getByRole('columnheader').first().textContent()).toBe('Address');
    await row.getByRole('cell', { name: 'universe 1, address 101', exact: true }).waitFor();
    await row.getByRole('rowheader', { name: 'Barn door 1', exact: true }).waitFor();
    await page.getByRole('button', { name: 'Labels' }).click();
    const labels = page.getByRole('list', { name: 'Labels, one for each light' });
    expect(await labels.ariaSnapshot()).toContain('Barn door 1');
    expect(await labels.ariaSnapshot()).toContain('universe 1, address 101');
    expect(await labels.ariaSnapshot()).not.toMatch(/\b1\.101\b/);
  });

  test('hear who may press, what a phone may do, and what the node says of itself', async () => {
    const { page } = await phone(demo);
    await page.getByRole('link', { name: 'Phones and node' }).click();
    await page.getByRole('list', { name: 'Who may press' }).getByRole('listitem').first().waitFor();
    await page.getByText('a second').waitFor();
    const heard = await page.locator('.node').ariaSnapshot();
    for (const said of [
      'group "It may"',
      'radio "Operator everything',
      'group "Held in the"',
      'radio "left hand"',
      'checkbox "Darker screen for',
    ])
      expect(heard).toContain(said);
  });
});

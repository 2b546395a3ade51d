import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { fullShow } from '../helpers/full-show.mjs';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { Thumb } from '../helpers/thumb.ts';

/** How many touches the usual jobs take, from where a phone stands when it is taken out of the pocket: Tonight, on its first moment. */
let browser: Browser;
let context: BrowserContext;
let node: NodeProcess;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
afterEach(async () => {
  await context.close();
  await endAll();
});

async function phone(show: object | string = 'shows/barn-wedding.json'): Promise<{ page: Page; thumb: Thumb }> {
  node = await NodeProcess.start({ show, sacn: '127.0.0.1' });
  const paired = await pairedPage(browser, node, { viewport: PHONE });
  context = paired.context;
  return { page: paired.page, thumb: new Thumb() };
}
const here = (page: Page, button: string) => page.locator(`.page:not([inert]) [data-button="${button}"]`);
const isOn = (page: Page, button: string) =>
  page.locator(`.page:not([inert]) [data-button="${button}"]:is([data-state="coming"], [data-state="on"])`).first().waitFor();
const named = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first();

test('another look of this moment: one', async () => {
  const { page, thumb } = await phone();
  await thumb.tap(here(page, 'champagne-room'));
  await isOn(page, 'champagne-room');
  expect(thumb.touches).toBe(1);
});

test('take the last press back: one', async () => {
  const { page, thumb } = await phone();
  await node.command({ do: 'press', button: 'Champagne room' });
  await isOn(page, 'champagne-room');
  await thumb.tap(named(page, /^Back to/));
  await page.locator('[data-button="champagne-room"]:is([data-state="going"], [data-state="off"])').waitFor();
  expect(thumb.touches).toBe(1);
});

test('the first look of the next moment: two', async () => {
  const { page, thumb } = await phone();
  await thumb.tap(named(page, /^Next/));
  await thumb.tap(here(page, 'entrance'));
  await isOn(page, 'entrance');
  expect(thumb.touches).toBe(2);
});

test('a look of any moment: three', async () => {
  const { page, thumb } = await phone();
  await thumb.tap(named(page, /choose another moment/));
  await thumb.tap(page.locator('.moment-list').getByRole('button', { name: 'Dancing' }));
  await thumb.tap(here(page, 'slow-dance'));
  await isOn(page, 'slow-dance');
  expect(thumb.touches).toBe(3);
});

test('one of sixty buttons by a few letters: five at most, the swipe to the end of the moments among them', async () => {
  const { page, thumb } = await phone(fullShow);
  await thumb.tap(named(page, /choose another moment/));
  await thumb.tap(page.locator('.moment-list').getByRole('button', { name: 'Find a button' }));
  const field = page.locator('.page:not([inert])').getByRole('searchbox', { name: 'Find a button' });
  await thumb.tap(field);
  await field.fill('scene 53');
  await thumb.tap(here(page, 'b53'));
  await isOn(page, 'b53');
  expect(thumb.touches).toBeLessThanOrEqual(5);
});

test('all off, and lights up: one each', async () => {
  const { page, thumb } = await phone();
  await thumb.tap(named(page, /^All off/));
  await page.getByText('Dark: nothing is on').first().waitFor();
  await thumb.tap(page.locator('.tools').getByRole('button', { name: /^Lights up/ }));
  await page
    .locator('.what > summary')
    .filter({ hasText: /^Walls/ })
    .waitFor();
  expect(thumb.touches).toBe(2);
});

test.each(['Tonight', 'Wire', 'Papers', 'Phones and node'])('blackout on %s: one, and one for the light', async (screen) => {
  const { page, thumb } = await phone();
  if (screen === 'Papers') await page.getByRole('link', { name: 'Phones and node' }).click();
  await page.getByRole('link', { name: screen }).click();
  await page.getByRole('heading', { level: 1, name: screen }).waitFor({ state: 'attached' });
  const corner = page.locator('.blackout');
  await thumb.hold(corner, 500);
  await page.locator('[data-dark="true"]').waitFor();
  await thumb.hold(corner, 500);
  await page.locator('[data-dark="false"]').waitFor();
  expect(thumb.touches).toBe(2);
});

test('leave it to the node: two', async () => {
  const { page, thumb } = await phone();
  await thumb.tap(page.getByRole('button', { name: 'More', exact: true }));
  await thumb.tap(named(page, /^Leave it to the node/));
  await page.getByText('Left to the node until').waitFor();
  expect(thumb.touches).toBe(2);
});

test('one light by hand: three; a walk through all of them: two', async () => {
  const { page, thumb } = await phone();
  await thumb.tap(page.getByRole('link', { name: 'Wire' }));
  await thumb.tap(page.locator('.wire-light').first());
  await thumb.tap(named(page, 'Light it up'));
  await named(page, 'By hand: let go').waitFor();
  expect(thumb.touches).toBe(3);
  await page.getByRole('link', { name: 'Tonight' }).click();
  thumb.touches = 0;
  await thumb.tap(page.getByRole('link', { name: 'Wire' }));
  await thumb.tap(named(page, 'One by one'));
  await page.getByText('Do you see it?').waitFor();
  expect(thumb.touches).toBe(2);
});

test('a code for a helper’s phone: two, and a swipe where the list of phones is long; labels to print: three', async () => {
  const { page, thumb } = await phone();
  await thumb.tap(page.getByRole('link', { name: 'Phones and node' }));
  await thumb.tap(named(page, 'Make a code'));
  await page.getByRole('img', { name: /QR code/ }).waitFor();
  expect(thumb.touches).toBeLessThanOrEqual(3);
  thumb.touches = 0;
  await page.evaluate(() => Object.assign(globalThis, { print: () => document.body.setAttribute('data-printed', '') }));
  await thumb.tap(page.getByRole('link', { name: 'Papers' }));
  await thumb.tap(named(page, 'Labels'));
  await thumb.tap(named(page, 'Print'));
  await page.locator('body[data-printed]').waitFor({ state: 'attached' });
  expect(thumb.touches).toBe(3);
});

import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { LAPTOP, openBrowser, pairedPage } from '../helpers/browser.ts';
import { findings, tooSmall } from '../helpers/look-over.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { Listener } from '../system/listener.ts';

/** People on ladders, haze and lasers: what is said of them and asked for them on a phone, held against the bytes at the wire. */
let browser: Browser;
let node: NodeProcess;
let wire: Listener;

const everybody = [{ all: true }];
/** Slots of universe 1: a par at 1 (dimmer; strobe at 6), a hazer at 31, and a par that the show calls a laser at 41. */
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'at-the-lights',
  name: 'At the lights',
  theme: { name: 'One', colours: [] },
  fixtures: [
    { id: 'par', name: 'Left par', type: 'rgbw-par', mode: '6ch', universe: 1, address: 1, use: 'uplight' },
    { id: 'hazer', name: 'Hazer', type: 'hazer', mode: '2ch', universe: 1, address: 31, use: 'haze' },
    { id: 'rays', name: 'Green rays', type: 'rgbw-par', mode: '6ch', universe: 1, address: 41, use: 'laser' },
  ],
  looks: [{ id: 'all', name: 'All', fade: 0, unattended: true, parts: [{ who: everybody, level: 0.5, haze: 1, strobe: 2 }] }],
  buttons: [{ id: 'all', name: 'Everything', starts: [{ look: 'all' }] }],
  moments: [{ id: 'evening', name: 'The evening', buttons: ['all'] }],
};

beforeAll(async () => {
  browser = await openBrowser();
  wire = await Listener.open();
  node = await NodeProcess.start({ show, sacn: wire.address });
  // From a command line nobody is asked.
  await node.command({ do: 'press', button: 'all' });
});
afterAll(async () => {
  await browser.close();
  await endAll();
  wire.close();
});

const slot = (number: number): number => wire.heard.findLast(({ universe }) => universe === 1)?.slots[number - 1] ?? Number.NaN;
const becomes = (number: number, holds: (value: number) => boolean) =>
  until(`slot ${number}`, () => (holds(slot(number)) ? true : undefined));
const push = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
const more = (page: Page) => push(page, 'More').click();

test('haze waits for the venue, whoever presses, and that is said on every screen', async () => {
  const { page } = await pairedPage(browser, node);
  const says = page.getByText('Haze is held: nobody has said that the venue permits it', { exact: false });
  await becomes(1, (value) => value > 0);
  expect(slot(31)).toBe(0);
  await says.first().waitFor();
  for (const screen of ['wire', 'node']) {
    await page.evaluate((name) => location.replace(`#/${name}`), screen);
    await page.locator('.dark-notice').filter({ hasText: 'Haze is held' }).waitFor();
  }
  await page.evaluate(() => location.replace('#/tonight'));
  await more(page);
  await push(page, 'The venue permits haze').click();
  await becomes(31, (value) => value === 255);
  await page.getByText('Haze is permitted for this night.').waitFor();
});

test('lasers are armed in two touches beside a caution, and a blackout closes them for good', async () => {
  const { page } = await pairedPage(browser, node);
  await more(page);
  expect(slot(41)).toBe(0);
  await push(page, 'Arm the lasers…').click();
  const asks = page.getByRole('alertdialog', { name: 'Arm the lasers?' });
  await asks.getByText('Never into eyes').waitFor();
  expect([await findings(page), await tooSmall(page)]).toEqual([[], []]);
  await push(page, 'Keep them closed').click();
  await asks.waitFor({ state: 'detached' });
  await push(page, 'Arm the lasers…').click();
  await push(page, 'It exists: arm them').click();
  await becomes(41, (value) => value > 0);
  await page.getByText('Lasers are armed.', { exact: true }).waitFor();
  await node.command({ do: 'blackout', on: true });
  await becomes(41, (value) => value === 0);
  await node.command({ do: 'blackout', on: false });
  await becomes(1, (value) => value > 0);
  await page.getByText('Lasers are armed.', { exact: true }).waitFor({ state: 'detached' });
  expect(slot(41)).toBe(0);
});

test('while the crew works there is light to work by and nothing else, from a phone or a laptop, said on every screen', async () => {
  const { page } = await pairedPage(browser, node, { viewport: LAPTOP });
  await push(page, 'Crew is working').click();
  await becomes(1, (value) => value === 255);
  await becomes(6, (value) => value === 0);
  await becomes(31, (value) => value === 0);
  await page.evaluate(() => location.replace('#/wire'));
  await page.getByText('The crew is working.').waitFor();
  expect([await findings(page), await tooSmall(page)]).toEqual([[], []]);
  await push(page, 'They are done').click();
  await becomes(1, (value) => value < 255);
});

test('quicker flashes are allowed in two touches beside a caution, said on every screen, and ended in one', async () => {
  const { page } = await pairedPage(browser, node);
  await more(page);
  await push(page, 'Allow quicker flashes…').click();
  const asks = page.getByRole('alertdialog', { name: 'Allow quicker flashes?' });
  await asks.getByText('Flashes can bring on seizures').waitFor();
  expect([await findings(page), await tooSmall(page)]).toEqual([[], []]);
  await push(page, 'Stay at 3').click();
  await asks.waitFor({ state: 'detached' });
  await push(page, 'Allow quicker flashes…').click();
  await push(page, 'Up to 6 a second').click();
  const says = page.locator('.dark-notice').filter({ hasText: 'Up to 6 flashes a second' });
  await says.waitFor();
  for (const screen of ['wire', 'node']) {
    await page.evaluate((name) => location.replace(`#/${name}`), screen);
    await says.waitFor();
  }
  await push(page, 'Back to three').click();
  await says.waitFor({ state: 'detached' });
});

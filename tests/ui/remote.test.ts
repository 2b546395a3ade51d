import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { Cable, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { attendedShow } from '../system/attended-show.ts';
import { Listener } from '../system/listener.ts';

/** A real browser, a real node, and the bytes at the wire as the last word. */
let browser: Browser;
let node: NodeProcess;
let wire: Listener;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

beforeEach(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show: attendedShow, sacn: wire.address });
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
  wire.close();
});

const slot = (number: number): number | undefined => wire.heard.findLast(({ universe }) => universe === 1)?.slots[number - 1];
const becomes = (number: number, value: number, within?: number) =>
  until(`slot ${number} at ${value}`, () => (slot(number) === value ? true : undefined), within);
const button = (page: Page, id: string) => page.locator(`[data-button="${id}"]`);
/** Holds a button down as a finger does, until it is told to lift. */
async function finger(page: Page, selector: string): Promise<() => Promise<void>> {
  const box = await page.locator(selector).boundingBox();
  if (box === null) throw new Error(`${selector} is not on the screen`);
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  return () => page.mouse.up();
}

describe('Pairing', () => {
  test('a browser that is not paired sees the pairing page and nothing else, and joins by the code of the console', async () => {
    const page = await (await browser.newContext({ viewport: PHONE })).newPage();
    await page.goto(`${node.file.url}/#/tonight`);
    await page.getByLabel('Code').waitFor();
    expect(await page.locator('[data-button], nav, .blackout').count()).toBe(0);
    expect(await page.evaluate(async () => (await fetch('/api/remotes')).status)).toBe(403);

    await page.getByLabel('Code').fill('AAAA-AAAA');
    await page.getByRole('button').click();
    await page.getByText('wrong, used up or too old').waitFor();

    const [, code = ''] = await node.says('stderr', /enter ([A-Z0-9-]{9})/);
    await page.goto('about:blank');
    await page.goto(`${node.file.url}/#pair=${code}`);
    await page.getByRole('button').click();
    await button(page, 'warm').waitFor();
    // The token is out of the page's reach.
    expect(await page.evaluate(() => document.cookie)).toBe('');
  });

  test('a code that a phone has used is not held out to the next', async () => {
    const { page } = await pairedPage(browser, node);
    await page.goto(`${node.file.url}/#/node`);
    await page.getByRole('button', { name: 'Make a code' }).click();
    const code = await page.locator('.big-code').textContent();
    const other = await (await browser.newContext({ viewport: PHONE })).newPage();
    await other.goto(`${node.file.url}/#pair=${code}`);
    await other.getByLabel('Name of this').fill('Best man');
    await other.getByRole('button').click();
    await page.getByText('“Best man” has joined as helper.').waitFor({ timeout: 10_000 });
    expect(await page.locator('.big-code, .qr').count()).toBe(0);
    await page.getByRole('button', { name: 'New code' }).click();
    await page.locator('.big-code').waitFor();
    expect(await page.locator('.big-code').textContent()).not.toBe(code);
  });

  test('a phone that is revoked is back on the pairing page', async () => {
    const { page } = await pairedPage(browser, node);
    await node.does('forget', 'all');
    await page.getByLabel('Code').waitFor();
  });
});

describe('Playing', () => {
  test('a press lights the lamp, the button says on, another phone agrees, a second press lets go', async () => {
    const [{ page: one }, { page: two }] = [await pairedPage(browser, node), await pairedPage(browser, node)];
    await button(one, 'warm').click();
    await becomes(1, 153);
    for (const page of [one, two]) await page.locator('[data-button="warm"][data-state="on"]').waitFor();
    await button(two, 'warm').getByText('on', { exact: true }).waitFor();
    await button(two, 'warm').click();
    await becomes(1, 51);
    for (const page of [one, two]) await page.locator('[data-button="warm"][data-state="off"]').waitFor();
  });

  test('a hit acts while it is held and lets go with the finger', async () => {
    const { page } = await pairedPage(browser, node);
    const lift = await finger(page, '[data-button="bump"]');
    await becomes(2, 255);
    await lift();
    await becomes(2, 51);
  });

  test('blackout wants to be held, puts every light out, and the same gesture brings them back', async () => {
    const { page } = await pairedPage(browser, node);
    await becomes(1, 51);
    const tap = await finger(page, '.blackout');
    await tap();
    expect((await node.status()).blackout).toBe(false);
    const lift = await finger(page, '.blackout');
    await becomes(1, 0);
    await lift();
    await page.locator('[data-dark="true"]').waitFor();
    const again = await finger(page, '.blackout');
    await becomes(1, 51);
    await again();
  });

  test('a helper has buttons and no more; a viewer has none', async () => {
    const { page: helper } = await pairedPage(browser, node, { role: 'helper' });
    await button(helper, 'warm').click();
    await becomes(1, 153);
    expect(await helper.locator('.blackout, nav, [role="slider"]').count()).toBe(0);
    const { page: viewer } = await pairedPage(browser, node, { role: 'viewer' });
    await viewer.locator('.state-line').waitFor();
    expect(await viewer.locator('[data-button], .blackout, nav').count()).toBe(0);
  });

  test('the keyboard does what a finger does', async () => {
    const { page } = await pairedPage(browser, node);
    await button(page, 'warm').focus();
    await page.keyboard.press('Enter');
    await becomes(1, 153);
    await button(page, 'bump').focus();
    await page.keyboard.down('Space');
    await becomes(2, 255);
    await page.keyboard.up('Space');
    await becomes(2, 153);
  });
});

describe('A network that goes', () => {
  test('in the middle of a hit: the light goes back, the phone says so, and after its return shows the truth', async () => {
    const cable = await Cable.lay(node.file.url);
    const { page } = await pairedPage(browser, node, { url: cable.url });
    await finger(page, '[data-button="bump"]');
    await becomes(2, 255);
    cable.cut();
    await becomes(2, 51, 5000);
    await page.locator('[data-open="false"]').waitFor({ timeout: 4000 });
    await expect.poll(() => button(page, 'warm').isDisabled()).toBe(true);
    // Meanwhile somebody else changes something.
    await node.command({ do: 'press', button: 'Warm walls' });
    cable.mend();
    await page.locator('[data-button="warm"][data-state="on"]').waitFor({ timeout: 4000 });
    await becomes(2, 153);
    cable.remove();
  });

  test('for good: after the warning what is attended goes dark, and one press on Resume brings it back', async () => {
    const cable = await Cable.lay(node.file.url);
    const { page } = await pairedPage(browser, node, { url: cable.url });
    await button(page, 'dance').click();
    await becomes(1, 255);
    cable.cut();
    await becomes(1, 51, 15_000);
    cable.mend();
    await page.getByRole('button', { name: 'Resume' }).waitFor();
    expect(slot(1)).toBe(51);
    await page.getByRole('button', { name: 'Resume' }).click();
    await becomes(1, 255);
    cable.remove();
  });
});

describe('The wire page', () => {
  test('lights a fixture up by hand until the page goes away', async () => {
    const { page } = await pairedPage(browser, node);
    await page.goto(`${node.file.url}/#/wire`);
    await page.getByRole('button', { name: 'One by one' }).click();
    await becomes(1, 255);
    await page.getByRole('button', { name: 'I see it' }).click();
    await becomes(2, 255);
    await becomes(1, 51);
    await page.goto(`${node.file.url}/#/node`);
    await becomes(2, 51);
  });
});

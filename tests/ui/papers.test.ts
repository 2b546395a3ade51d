import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { LAPTOP, openBrowser, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess } from '../helpers/node-process.ts';

let browser: Browser;
let node: NodeProcess;
let page: Page;

beforeAll(async () => {
  browser = await openBrowser();
  node = await NodeProcess.start({ show: 'shows/barn-wedding.json' });
  page = (await pairedPage(browser, node, { viewport: LAPTOP })).page;
  await page.goto(`${node.file.url}/#/papers`);
  await page.getByRole('heading', { name: 'Papers' }).waitFor();
});
afterAll(async () => {
  await browser.close();
  await endAll();
});

/** Sizes of the pages that the printer would get, in points. */
async function pages(): Promise<string[]> {
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  return [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)].map(
    ([, width, height]) => `${Math.round(Number(width))} ${Math.round(Number(height))}`,
  );
}

describe('Papers', () => {
  // ISO 216: A4 is 210 by 297 mm, 595 by 842 points.
  test('the patch sheet of a whole rig comes out on one A4, and so do its labels', async () => {
    expect(await pages()).toEqual(['595 842']);
    await page.getByRole('button', { name: 'Labels' }).click();
    await page.locator('.labels').waitFor();
    expect(await pages()).toEqual(['595 842']);
    await page.getByRole('button', { name: 'Patch sheet' }).click();
    await page.getByRole('table').first().waitFor();
  });

  test('says address, use, type and mode of a lamp, and its switches to those who listen', async () => {
    const row = page.getByRole('row').filter({ hasText: 'Barn door 1' });
    for (const said of ['1.101', 'uplight', 'LED par, red green blue white amber UV', '9 channels, 16-bit dimmer', '101–109'])
      expect(await row.textContent()).toContain(said);
    // 101 is 1 + 4 + 32 + 64.
    expect(await row.getByRole('img').getAttribute('aria-label')).toBe('Switches: 1, 3, 6 and 7 on');
  });

  test('says what is adjusted in the show, so that nobody does it in the lamp as well', async () => {
    expect(await page.getByRole('row').filter({ hasText: 'Speaker par 2' }).textContent()).toContain('green trimmed to 85 %');
    expect(await page.getByRole('row').filter({ hasText: 'Spot right' }).textContent()).toContain('tilt inverted');
  });

  test('tells what is known of the types, with units, on a paper of its own', async () => {
    await page.getByRole('button', { name: 'Types' }).click();
    const table = page.getByRole('table').filter({ hasText: 'Moving head spot, colour and gobo wheel' });
    expect(await table.textContent()).toMatch(/: \d lights?/);
    expect(await table.getByRole('row').filter({ hasText: 'Weight' }).textContent()).toContain('12 kg');
    expect(await table.getByRole('row').filter({ hasText: 'Pan' }).textContent()).toContain('540°');
    await page.getByRole('button', { name: 'Patch sheet' }).click();
    await page.getByRole('table').first().waitFor();
  });

  test('counts unit loads by line and reminds of the terminator', async () => {
    const lines = page.locator('.papers-lines');
    expect(await lines.textContent()).toContain('Universe 1: 16 of 32 unit loads');
    expect(await lines.textContent()).toContain('120 Ω terminator');
  });

  test('prints black on white, without the bar', async () => {
    await page.emulateMedia({ media: 'print' });
    const colours = await page.evaluate(() =>
      [document.documentElement, document.querySelector('.papers th')].map((one) => {
        const { color, backgroundColor } = getComputedStyle(one as Element);
        return `${color} ${backgroundColor}`;
      }),
    );
    expect(colours).toEqual(['rgb(0, 0, 0) rgb(255, 255, 255)', 'rgb(0, 0, 0) rgba(0, 0, 0, 0)']);
    expect(await page.locator('.bar').isVisible()).toBe(false);
    await page.emulateMedia({ media: 'screen' });
    expect(await page.locator('.bar').isVisible()).toBe(true);
  });
});

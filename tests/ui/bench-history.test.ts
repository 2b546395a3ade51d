import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { AskedChange } from '../../node/show/change.ts';
import type { Show } from '../../node/show/document.ts';
import { LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { plainShow } from '../system/plain-show.ts';

/** What was, looked at and compared with now before anything goes back to it. */
let browser: Browser;
let node: NodeProcess;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  node = await NodeProcess.start({ show: plainShow });
  await edit({ do: 'set', kind: 'look', id: 'warm', field: 'name', was: 'Warm', now: 'Dinner' });
  const was = (await stored()).looks.find(({ id }) => id === 'warm')?.parts;
  await edit({ do: 'set', kind: 'look', id: 'warm', field: 'parts', was, now: was?.map((part) => ({ ...part, level: 0.1 })) });
  await edit({
    ...{ do: 'add', kind: 'themeColour', id: 'sage' },
    now: { id: 'sage', name: 'Sage', value: '#9caf88' },
  });
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
});

const stored = async () => (await (await node.ask('show')).json()) as Show;
let edits = 0;
async function edit(change: AskedChange): Promise<void> {
  const body = JSON.stringify({ editId: `edit-number-${++edits}`, changes: [change] });
  const answer = (await (await node.ask('show/edit', { method: 'POST', body })).json()) as { ok: boolean };
  expect(answer.ok).toBe(true);
}
async function history(viewport = PHONE): Promise<Page> {
  const { page } = await pairedPage(browser, node, { viewport });
  await page.goto(`${node.file.url}/#/bench/history`);
  await page.getByText('as it is now').waitFor();
  return page;
}
const picture = async (page: Page, name: string) => {
  if (process.env.SCREENS_TO !== undefined) await page.screenshot({ path: `${process.env.SCREENS_TO}/${name}.png` });
};

describe('What was', () => {
  test('is looked at and compared with now before it comes back, and that is taken back', async () => {
    const page = await history();
    await picture(page, 'history-390');
    await page.getByRole('link', { name: 'Look at it then: the whole show' }).click();
    await page.getByText('1 look has changed since: Dinner, then called Warm – name and level.').waitFor();
    await page.getByText('1 theme colour was not there yet: Sage.').waitFor();
    // Looking changes nothing.
    expect((await stored()).looks.find(({ id }) => id === 'warm')?.name).toBe('Dinner');
    await page
      .getByText('Its 4 looks')
      .or(page.getByText(/^Its \d+ looks?$/))
      .first()
      .click();
    await page.getByText('Warm', { exact: true }).waitFor();
    await picture(page, 'then-390');
    await page.getByRole('button', { name: 'Back to this' }).click();
    await until('the old name', async () => (await stored()).looks.some(({ name }) => name === 'Warm') || undefined);
    expect((await stored()).theme.colours.some(({ id }) => id === 'sage')).toBe(false);
    await page.getByText('the show as it was at revision').first().waitFor();
    await page.getByRole('button', { name: /^Take back: the show as it was/ }).click();
    await until('what was there before', async () => (await stored()).looks.some(({ name }) => name === 'Dinner') || undefined);
  });

  test('is told step by step, of one that is now nothing differs, and of none there is a sentence', async () => {
    const page = await history(LAPTOP);
    await page.getByRole('link', { name: 'Look at it then: level of Dinner' }).click();
    await page.getByText('1 theme colour was not there yet: Sage.').waitFor();
    expect(await page.getByText('has changed since').count()).toBe(0);
    await picture(page, 'then-1440');
    const newest = (await stored()).theme.colours.length;
    expect(newest).toBeGreaterThan(0);
    await page.goto(`${node.file.url}/#/bench/history/4`);
    await page.getByText('Nothing differs').waitFor();
    await page.goto(`${node.file.url}/#/bench/history/999`);
    await page.getByRole('alert').getByText('Revision 999 is none of this show').waitFor();
  });

  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])('keeps to the rules on %s', async (_what, viewport) => {
    const page = await history(viewport);
    await page.getByRole('link', { name: 'Look at it then: the whole show' }).click();
    await page.getByRole('heading', { name: 'Beside now' }).waitFor();
    await page.evaluate(axe.source);
    const found = await page.evaluate(async () => {
      const { axe: run } = window as unknown as {
        axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
      };
      return (await run.run()).violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
    });
    expect(found).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
  });
});

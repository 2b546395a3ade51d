import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Show } from '../../node/show/document.ts';
import { LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { plainShow } from '../system/plain-show.ts';

/** What a show says once, changed in a real browser on a real node. */
let browser: Browser;
let node: NodeProcess;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  const groups = [{ id: 'left', name: 'Left side', fixtures: ['lamp-1'] }];
  node = await NodeProcess.start({ show: { ...plainShow, groups, fallback: 'blackout' } });
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
});

async function page(viewport = PHONE): Promise<Page> {
  const { page: paired } = await pairedPage(browser, node, { viewport });
  await paired.goto(`${node.file.url}/#/bench/show`);
  await paired.getByRole('heading', { name: 'This show' }).waitFor();
  return paired;
}
const stored = async () => (await (await node.ask('show')).json()) as Show;
const become = (what: string, is: (show: Show) => boolean) => until(what, async () => is(await stored()) || undefined);

describe('This show', () => {
  test('is called, noted and timed as people write it, and says what it starts with and does alone', async () => {
    const bench = await page();
    await bench.getByLabel('Name', { exact: true }).fill('Harvest supper');
    await bench.getByLabel('Tempo, until somebody taps another').fill('97,5 bpm');
    await bench.getByLabel('Notes').fill('Doors at six.\nCake at nine.');
    await bench.getByLabel('A phone may be silent for').fill('2 min');
    await bench.getByLabel('Then a warning for').fill('45 s');
    await bench.getByRole('checkbox', { name: /^Invented/ }).check();
    await become(
      'all of it',
      ({ name, tempo, notes, remoteWatch, demo }) =>
        [name, tempo, notes, remoteWatch.allow, remoteWatch.countdown, demo].join() ===
        ['Harvest supper', 97.5, 'Doors at six.\nCake at nine.', 120, 45, true].join(),
    );
    const before = (await stored()).start.length;
    await bench.getByLabel('Add', { exact: true }).selectOption({ label: 'Warm' });
    await become('a start more', ({ start }) => start.length === before + 1 && JSON.stringify(start.at(-1)) === '{"look":"warm"}');
    await bench.getByRole('button', { name: 'Leave it out: Warm' }).click();
    await become('the start as it was', ({ start }) => start.length === before);
    await bench.getByRole('radio', { name: /^A look/ }).check();
    await bench.getByLabel('Which look').selectOption({ label: 'Warm' });
    await become('a look as fallback', ({ fallback }) => JSON.stringify(fallback) === '{"look":"warm"}');
    await bench.getByLabel('A group with less').selectOption({ label: 'Left side' });
    await become('its master', ({ masters }) => masters.groups.left === 0.8);
    await bench.getByRole('button', { name: 'As everything: Left side' }).click();
    await become('no master of its own', ({ masters }) => masters.groups.left === undefined);
  });

  test('says what makes no sense, keeps what was there, and has the place where a fault of it is mended', async () => {
    const bench = await page(LAPTOP);
    await bench.getByLabel('A phone may be silent for').fill('1 s');
    await bench.getByText('From 5 s to 10 min.').waitFor();
    await bench.getByLabel('Name', { exact: true }).fill('');
    await bench.getByText('It needs a name.').waitFor();
    const { fallback } = await stored();
    const change = { do: 'set', kind: 'show', id: 'plain', field: 'fallback', was: fallback, now: { look: 'gone' } };
    await node.ask('show/edit', { method: 'POST', body: JSON.stringify({ editId: 'leads-nowhere', changes: [change] }) });
    await bench.evaluate(() => location.assign('#/bench'));
    await bench.getByRole('link', { name: 'What comes without a phone is a look that is gone' }).click();
    await bench.getByRole('radio', { name: /^Blackout/ }).check();
    await bench.getByText('Not playable yet').waitFor({ state: 'detached' });
    expect(await stored()).toMatchObject({ name: 'Plain', remoteWatch: { allow: 60 }, fallback: 'blackout' });
  });

  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])(
    'on %s keeps to the rules: no finding of axe, targets of 48 pixels, nothing wider than the screen',
    async (_what, viewport) => {
      const bench = await page(viewport);
      await bench.getByLabel('A group with less').selectOption({ label: 'Left side' });
      await bench.getByRole('button', { name: 'As everything: Left side' }).waitFor();
      if (process.env.SCREENS_TO !== undefined)
        for (const [i, top] of [0, 600, 1200].entries()) {
          await bench.locator('.bench-page').evaluate((one, at) => one.scrollTo(0, at), top);
          await bench.screenshot({ path: `${process.env.SCREENS_TO}/this-show-${viewport.width}-${i}.png` });
        }
      await bench.evaluate(axe.source);
      const found = await bench.evaluate(async () => {
        const { axe: run } = window as unknown as {
          axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
        };
        return (await run.run()).violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
      });
      expect(found).toEqual([]);
      const small = await bench.evaluate(() =>
        [...document.querySelectorAll<HTMLElement>('.bench button, .bench a, .bench input, .bench select, .bench textarea')]
          .filter((one) => one.offsetParent !== null)
          .map((one) => (one.matches('.choices input') ? (one.closest('label') as HTMLElement) : one))
          .filter((one) => one.getBoundingClientRect().height < 47.5)
          .map((one) => one.outerHTML.slice(0, 80)),
      );
      expect(small).toEqual([]);
      expect(await bench.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
    },
  );
});

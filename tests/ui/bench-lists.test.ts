import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Show } from '../../node/show/document.ts';
import { LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';

/** Lists of the bench: several things chosen, taken out and made again at once, found by name, gone through by keys. */
const names = ['Arrival', 'Dinner', 'Speeches', 'Cake', 'First dance', 'Open floor', 'Slow', 'Encore', 'Lights up', 'Goodbye'];
const idOf = (name: string) => name.toLowerCase().replace(' ', '-');
const parts = [{ who: [{ all: true }], level: 0.5 }];
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'lists',
  name: 'Lists',
  theme: { name: 'Plain', colours: [] },
  fixtures: [{ id: 'par', name: 'Par', type: 'rgb-par', mode: '3ch', universe: 1, address: 1, use: 'uplight' }],
  looks: names.map((name) => ({ id: idOf(name), name, parts })),
  chases: ['One', 'Two'].map((name) => ({ id: idOf(name), name, steps: [1, 2].map((beats) => ({ length: { beats }, parts })) })),
  hits: ['Flash', 'Bump'].map((name) => ({ id: idOf(name), name, parts })),
  buttons: names.slice(0, 4).map((name) => ({ id: idOf(name), name, starts: [{ look: idOf(name) }] })),
  moments: [
    { id: 'early', name: 'Early', buttons: ['arrival', 'dinner'] },
    { id: 'late', name: 'Late', buttons: ['cake'] },
  ],
};

let browser: Browser;
let node: NodeProcess;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  node = await NodeProcess.start({ show });
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
});

async function opened(page: string, viewport = PHONE): Promise<Page> {
  const { page: own } = await pairedPage(browser, node, { viewport });
  await own.goto(`${node.file.url}/#/bench/${page}`);
  await own.getByRole('heading', { level: 1 }).waitFor();
  return own;
}
const stored = async () => (await (await node.ask('show')).json()) as Show;
const become = (what: string, is: (show: Show) => boolean) => until(what, async () => is(await stored()) || undefined);
const revision = async () => (await node.status()).show.revision;
const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name });

describe('Several looks', () => {
  test('are taken out as one change that says what else it changes, and one press brings them back', async () => {
    const page = await opened('looks');
    const before = await revision();
    await button(page, 'Choose several looks').click();
    await page.getByRole('checkbox', { name: 'Dinner' }).check();
    await page.getByRole('checkbox', { name: 'Goodbye' }).check();
    await page.getByText('2 looks chosen.').waitFor();
    await page.getByText('If taken out, the button Dinner, with nothing else to start, goes too').waitFor();
    if (process.env.SCREENS_TO !== undefined) await page.screenshot({ path: `${process.env.SCREENS_TO}/several-390.png` });
    await button(page, 'Take out 2 looks').click();
    await page.getByText('Dinner and Goodbye are taken out').waitFor();
    await become('no such looks', ({ looks, buttons }) => looks.length === names.length - 2 && buttons.length === 3);
    expect(await revision()).toBe(before + 1);
    await button(page, /^Take back/).click();
    await become('all of it again', ({ looks, buttons }) => looks.length === names.length && buttons.length === 4);
  });

  test('are made again under names of their own, and are chosen then', async () => {
    const page = await opened('looks', LAPTOP);
    await button(page, 'Choose several looks').click();
    await page.getByPlaceholder('Find a look').fill('s');
    await button(page, 'Choose all').click();
    const found = names.filter((name) => name.toLowerCase().includes('s')).length;
    await page.getByText(`${found} looks chosen.`).waitFor();
    await button(page, 'Make others like them').click();
    await become('as many more', ({ looks }) => looks.filter(({ name }) => name.endsWith(', another')).length === found);
    expect(new Set((await stored()).looks.map(({ id }) => id)).size).toBe(names.length + found);
    await button(page, `Take out ${found} looks`).click();
    await become('the first ones', ({ looks }) => looks.map(({ name }) => name).join() === names.join());
  });

  test('are gone through and chosen by keys alone', async () => {
    const page = await opened('looks', LAPTOP);
    await page.getByRole('link', { name: 'Arrival' }).focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toContain('Speeches');
    await page.keyboard.press('End');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toContain('Goodbye');
    await button(page, 'Choose several looks').press('Enter');
    await page.getByRole('checkbox', { name: 'Arrival' }).focus();
    await page.keyboard.press('Space');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Space');
    await page.getByText('2 looks chosen.').waitFor();
    await page.getByRole('checkbox', { name: 'Dinner', checked: true }).waitFor();
  });
});

describe('Other lists', () => {
  test.each([
    ['chases', 'chases', 'One'],
    ['hits', 'hits', 'Flash'],
    ['evening', 'buttons', 'Cake'],
    ['evening', 'moments', 'Late'],
  ] as const)('on %s let several %s be chosen and taken out', async (page, all, name) => {
    const bench = await opened(page);
    await button(bench, `Choose several ${all}`).click();
    await bench.getByRole('checkbox', { name }).check();
    await button(bench, `Take out 1 ${all.slice(0, -1)}`).click();
    await become('one less', (now) => !now[all].some((one: { name: string }) => one.name === name));
  });

  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])('keep to the rules on %s while things are chosen', async (_what, viewport) => {
    const page = await opened('looks', viewport);
    await button(page, 'Choose several looks').click();
    await page.getByRole('checkbox', { name: 'Dinner' }).check();
    if (process.env.SCREENS_TO !== undefined)
      await page.screenshot({ path: `${process.env.SCREENS_TO}/lists-${viewport.width}.png` });
    await page.evaluate(axe.source);
    const found = await page.evaluate(async () => {
      const { axe: run } = window as unknown as {
        axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
      };
      return (await run.run()).violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
    });
    expect(found).toEqual([]);
    const low = await page.evaluate(() =>
      [...document.querySelectorAll<HTMLElement>('.bench button, .thing-row')]
        .filter((one) => one.offsetParent !== null && one.getBoundingClientRect().height < 47.5)
        .map((one) => one.outerHTML.slice(0, 80)),
    );
    expect(low).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
  });
});

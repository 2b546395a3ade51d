import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { LAPTOP, openBrowser, type Painted, PHONE, paintsAt, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, showFile, until } from '../helpers/node-process.ts';
import { Listener } from '../system/listener.ts';

/** Only here, or on the lights: the picture on the bench beside the bytes on the wire. */
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'small-hall',
  name: 'Small hall',
  theme: { name: 'Rose', colours: [{ id: 'rose', name: 'Rose', value: '#ff0000' }] },
  fixtures: [1, 11, 21].map((address) => ({
    ...{ id: `par-${address}`, name: `Par ${address}`, type: 'rgb-par', mode: '3ch', universe: 1, address, use: 'uplight' },
  })),
  looks: [
    { id: 'glow', name: 'Glow', fade: 0, parts: [{ who: [{ all: true }], level: 1, colour: 'theme:rose' }] },
    { id: 'sea', name: 'Sea', fade: 0, parts: [{ who: [{ all: true }], level: 1, colour: '#0000ff' }] },
  ],
  buttons: [
    { id: 'glow', name: 'Glow', starts: [{ look: 'glow' }] },
    { id: 'sea', name: 'Sea', starts: [{ look: 'sea' }] },
  ],
};

let browser: Browser;
let node: NodeProcess;
let wire: Listener;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show, sacn: wire.address });
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
  wire.close();
});

const slots = (): string => [...(wire.latest(1, 3) ?? [])].join(' ');
const become = (wanted: string) => until(`slots at ${wanted}`, () => slots() === wanted || undefined);
const RED = '255 0 0';
const GREEN = '0 255 0';

async function bench(at: string, viewport = PHONE): Promise<Page> {
  const { page } = await pairedPage(browser, node, { viewport });
  await page.goto(`${node.file.url}/#/bench${at}`);
  await page.locator('.bench').waitFor();
  return page;
}

/** The middle of the wall. */
const paints = (page: Page, wanted: Painted) => paintsAt(page, 0.5, 0.55, wanted);
const button = (page: Page, name: string) => page.getByRole('button', { name, exact: true });

describe('On the lights', () => {
  test('the open thing plays over what is on, and goes with a second press, another page, or the line', async () => {
    const BLUE = '0 0 255';
    await node.command({ do: 'press', button: 'glow' });
    await become(RED);
    const page = await bench('/looks/sea');
    await button(page, 'On the lights').click();
    await button(page, 'Play it: Sea, over what is on').click();
    await become(BLUE);
    await button(page, 'Off again: Sea').click();
    await become(RED);
    await button(page, 'Play it: Sea, over what is on').click();
    await become(BLUE);
    // What is changed of it is seen at once.
    await page.getByRole('slider').fill('0');
    await become('0 0 0');
    await button(page, 'Take back: level of Sea').click();
    await become(BLUE);
    await page.evaluate(() => location.assign('#/bench/colours'));
    await become(RED);
    await page.evaluate(() => location.assign('#/bench/looks/sea'));
    await button(page, 'Play it: Sea, over what is on').click();
    await become(BLUE);
    await page.context().close();
    await become(RED);
  });
});

describe('Only here', () => {
  test('is what the bench begins with while the show runs: the picture changes and no byte on the wire, until it is shown', async () => {
    await node.command({ do: 'press', button: 'glow' });
    await become(RED);
    const page = await bench('/colours');
    const other = await bench('/colours', LAPTOP);
    await button(page, 'Only here').and(page.locator('[aria-pressed="true"]')).waitFor();
    await paints(page, 'red');
    const from = wire.heard.length;
    await page.getByLabel('Colour', { exact: true }).fill('lime');
    await paints(page, 'green');
    await other.getByText('Guests do not see yet what you have changed.').waitFor();
    await paints(other, 'green');
    await wire.next('another packet', ({ universe }) => universe === 1);
    const sent = wire.heard.slice(from).filter(({ universe }) => universe === 1);
    expect([...new Set(sent.map((one) => one.slots.slice(0, 3).join(' ')))]).toEqual([RED]);
    // Tonight shows what guests see.
    await other.evaluate(() => location.assign('#/tonight'));
    await other.getByText(/rose/i).first().waitFor();
    await button(page, 'Show it in the room').click();
    await become(GREEN);
    await page.getByText('Guests do not see yet').waitFor({ state: 'detached' });
  });

  test('gives way to a show file that is imported meanwhile, and says so', async () => {
    const page = await bench('/colours');
    await button(page, 'Only here').click();
    await page.getByLabel('Colour', { exact: true }).fill('lime');
    await page.getByText('Guests do not see yet what you have changed.').waitFor();
    await page.getByLabel('Colour', { exact: true }).press('Enter');
    await node.does('import', showFile({ ...show, tempo: 90 }));
    await page
      .getByText('The whole show was imported and plays. What Test phone changed and held back is in “What was changed”')
      .waitFor();
    expect(await page.getByLabel('Colour', { exact: true }).inputValue()).toBe('#ff0000');
  });

  test('shows the thing that is open, drawn by the code that lights the room', async () => {
    await node.command({ do: 'press', button: 'glow' });
    await become(RED);
    const page = await bench('/looks/sea');
    await page.getByText('Drawn: “Sea” alone.').waitFor();
    await paints(page, 'blue');
    await page.getByRole('img', { name: 'The room as it would look: Sea' }).waitFor();
    await page.getByRole('checkbox', { name: 'Rose' }).check();
    await page.getByRole('checkbox', { name: '#0000ff' }).click();
    await paints(page, 'red');
    await button(page, 'Show it in the room').click();
    await page.getByText('Guests see at once what you change').waitFor();
    await page.getByRole('img', { name: /^The room now/ }).waitFor();
    expect(slots()).toBe(RED);
    // Nothing is held any more: what is changed of what is on is seen at once.
    await page.evaluate(() => location.assign('#/bench/colours'));
    await page.getByLabel('Colour', { exact: true }).fill('lime');
    await become(GREEN);
  });

  test('is left while nothing needs anybody, and what is missing is said before it can be shown', async () => {
    const page = await bench('/looks/sea');
    await button(page, 'On the lights').and(page.locator('[aria-pressed="true"]')).waitFor();
    await button(page, 'Only here').click();
    await button(page, 'Take out: All lights').click();
    await page.getByText('Something is missing before it can be shown').waitFor();
    expect(await button(page, 'Show it in the room').isDisabled()).toBe(true);
    await button(page, 'Take back: lights of Sea').click();
    await button(page, 'Show it in the room').click();
    await button(page, 'Show it in the room').waitFor({ state: 'detached' });
  });

  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])(
    'on %s keeps to the rules: no finding of axe, targets of 48 pixels, nothing wider than the screen',
    async (_what, viewport) => {
      await node.command({ do: 'press', button: 'glow' });
      const page = await bench('/looks/sea', viewport);
      await page.getByRole('slider').fill('60');
      await button(page, 'Show it in the room').waitFor();
      await paints(page, 'blue');
      if (process.env.SCREENS_TO !== undefined)
        await page.screenshot({ path: `${process.env.SCREENS_TO}/here-${viewport.width}.png` });
      await page.evaluate(axe.source);
      const found = await page.evaluate(async () => {
        const { axe: run } = window as unknown as {
          axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
        };
        return (await run.run()).violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
      });
      expect(found).toEqual([]);
      const small = await page.evaluate(() =>
        [...document.querySelectorAll<HTMLElement>('.bench-room button')]
          .filter((one) => one.getBoundingClientRect().height < 47.5)
          .map((one) => one.outerHTML.slice(0, 80)),
      );
      expect(small).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
    },
  );
});

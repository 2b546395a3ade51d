import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { LAPTOP, openBrowser, pairedPage } from '../helpers/browser.ts';
import { findings, tooSmall } from '../helpers/look-over.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { Listener } from '../system/listener.ts';

/** The plan of the evening under a thumb, held against the bytes at the wire: slots 1 to 3 are a lamp each. */
let browser: Browser;
let node: NodeProcess;
let wire: Listener;

const lamps = ['one', 'two', 'three'];
/** An hour that is not near: the night goes from six to six. */
const later = (hours: number): string => new Date(Date.now() + hours * 3_600_000).toTimeString().slice(0, 5);
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'plan',
  name: 'Plan',
  theme: { name: 'One', colours: [] },
  fixtures: lamps.map((id, i) => ({ id, name: id, type: 'dimmer', mode: '1ch', universe: 1, address: i + 1, use: 'uplight' })),
  looks: lamps.map((id) => ({ id, name: `Look ${id}`, fade: 0, unattended: true, parts: [{ who: [{ fixture: id }], level: 1 }] })),
  buttons: lamps.map((id) => ({ id, name: `Press ${id}`, starts: [{ look: id }] })),
  moments: [
    { id: 'dinner', name: 'Dinner', buttons: ['one'], starts: [{ look: 'one' }] },
    {
      id: 'toasts',
      name: 'Toasts',
      buttons: ['two'],
      starts: [{ look: 'two' }],
      stops: [{ look: 'one' }],
      at: later(1),
      notes: 'Ask the band.',
    },
    { id: 'dance', name: 'Dancing', buttons: ['three'], starts: [{ look: 'three' }], stops: [{ look: 'two' }] },
  ],
};

beforeAll(async () => {
  browser = await openBrowser();
  wire = await Listener.open();
  node = await NodeProcess.start({ show, sacn: wire.address });
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await node.command({ do: 'all-off', fade: 0 });
  await node.command({ do: 'order', moments: [] });
  await node.command({ do: 'late', minutes: 0 });
});
afterAll(async () => {
  await browser.close();
  await endAll();
  wire.close();
});

/** Which lamps are lit at the wire. */
const lit = (): string => {
  const slots = wire.heard.findLast(({ universe }) => universe === 1)?.slots ?? [];
  return lamps.filter((_, i) => slots[i] === 255).join(' ');
};
const lights = (wanted: string) => until(`light of "${wanted}"`, () => lit() === wanted || undefined);
const step = (page: Page) => page.locator('.next');
const shown = (page: Page) => page.locator('.page:not([inert])');

test('one press begins the next moment and turns to it; it is taken back like any press', async () => {
  const { page } = await pairedPage(browser, node);
  await page.locator('.begin-moment').first().click();
  await lights('one');
  await page.getByText('Dinner is on').waitFor();
  await step(page).filter({ hasText: 'Toasts' }).click();
  await lights('two');
  await shown(page).getByText('Ask the band.').waitFor();
  await page.getByRole('button', { name: 'Back to Look one' }).click();
  await lights('one');
  await step(page).filter({ hasText: 'Now' }).filter({ hasText: 'Dinner' }).waitFor();
});

test('a thumb on another page comes back first and begins nothing, whoever has led on', async () => {
  const { page } = await pairedPage(browser, node);
  await node.command({ do: 'moment', moment: 'Dinner' });
  await shown(page).getByText('Dinner is on').waitFor();
  await node.command({ do: 'moment', moment: 'Toasts' });
  await step(page).filter({ hasText: 'Now' }).filter({ hasText: 'Toasts' }).click();
  await shown(page).getByText('Ask the band.').waitFor();
  expect(lit()).toBe('two');
  await step(page).filter({ hasText: 'Next' }).filter({ hasText: 'Dancing' }).click();
  await lights('three');
});

test('what is still to come comes later by a press, on every phone; a helper leads on and changes no plan', async () => {
  await node.command({ do: 'moment', moment: 'Dinner' });
  const { page } = await pairedPage(browser, node);
  // A phone that is new opens where the evening is.
  const { page: helper } = await pairedPage(browser, node, { role: 'helper' });
  await helper.locator('.moment-name', { hasText: 'Dinner' }).waitFor();
  const before = await step(helper).locator('.when').textContent();
  await page.locator('.moment-name').click();
  await page.getByRole('button', { name: '+5 min' }).click();
  await page.getByText('5 min late').waitFor();
  await expect.poll(() => step(helper).locator('.when').textContent()).not.toBe(before);
  await helper.locator('.moment-name').click();
  expect(await helper.locator('.plan-tools').count()).toBe(0);
  await helper.locator('.moment-name').click();
  await step(helper).click();
  await lights('two');
});

test('the order of tonight is changed on the spot', async () => {
  await node.command({ do: 'moment', moment: 'Dinner' });
  const { page } = await pairedPage(browser, node);
  await page.locator('.moment-name').click();
  await page.getByRole('button', { name: 'Order of tonight' }).click();
  await page.getByRole('button', { name: 'Dancing earlier' }).click();
  await page.getByRole('button', { name: 'Done' }).click();
  await expect
    .poll(() => page.locator('.moment-list > button').allInnerTexts())
    .toEqual([expect.stringContaining('Dinner'), expect.stringContaining('Dancing'), expect.stringContaining('Toasts')]);
  await page.locator('.moment-name').click();
  await step(page).filter({ hasText: 'Dancing' }).waitFor();
});

test.each([
  ['a phone', undefined],
  ['a laptop', LAPTOP],
] as const)('on %s keeps to the rules: no finding of axe, targets of 48 pixels', async (_, viewport) => {
  const { page } = await pairedPage(browser, node, viewport === undefined ? {} : { viewport });
  await node.command({ do: 'moment', moment: 'Dinner' });
  await page.getByText('Dinner is on').first().waitFor();
  if (viewport === undefined) await page.locator('.moment-name').click();
  await page.getByRole('button', { name: 'Order of tonight' }).waitFor();
  expect([await findings(page), await tooSmall(page)]).toEqual([[], []]);
  await page.getByRole('button', { name: 'Order of tonight' }).click();
  await page.getByRole('button', { name: 'Done' }).waitFor();
  expect([await findings(page), await tooSmall(page)]).toEqual([[], []]);
});

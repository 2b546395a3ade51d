import axe from 'axe-core';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';

/** A colour found by eye, in a real browser on a real node: the plane, what the lamps reach of it, finger and keyboard. */
const light = (id: string, type: string, mode: string, address: number, use: string) => ({
  ...{ id, name: id, type, mode, universe: 1, address, use },
});
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'small-hall',
  name: 'Small hall',
  theme: {
    name: 'Rose',
    colours: [
      { id: 'rose', name: 'Rose', value: '#ff8080' },
      { id: 'cream', name: 'Cream', value: '2700 K' },
    ],
  },
  fixtures: [
    light('par', 'rgb-par', '3ch', 1, 'uplight'),
    light('six', 'six-colour-par', '6ch', 11, 'uplight'),
    light('whites', 'tunable-white-par', '2ch', 31, 'spot'),
  ],
  looks: [{ id: 'glow', name: 'Glow', unattended: true, parts: [{ who: [{ use: 'uplight' }], level: 1, colour: 'theme:rose' }] }],
  start: [{ look: 'glow' }],
  buttons: [],
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

async function opened(viewport = PHONE): Promise<{ page: Page; area: Locator }> {
  const { page } = await pairedPage(browser, node, { viewport });
  await page.goto(`${node.file.url}/#/bench/colours`);
  await page.getByRole('button', { name: 'Rose, by eye' }).click();
  const area = page.locator('.colour-plane-area');
  await area.scrollIntoViewIfNeeded();
  return { page, area };
}
const stored = async () => ((await (await node.ask('show')).json()) as typeof show).theme.colours;
const rose = async () => (await stored())[0]?.value ?? '';
const picture = async (page: Page, name: string) => {
  if (process.env.SCREENS_TO !== undefined) await page.screenshot({ path: `${process.env.SCREENS_TO}/${name}.png` });
};

describe('A colour by eye', () => {
  test('follows a finger, and one pull is one step that is taken back', async () => {
    const { page, area } = await opened();
    await picture(page, 'eye-390');
    const box = await area.boundingBox();
    if (box === null) throw new Error('no plane');
    const at = (across: number, up: number) => [box.x + box.width * across, box.y + box.height * (1 - up)] as const;
    await page.mouse.move(...at(0.2, 0.3));
    await page.mouse.down();
    for (let i = 0; i <= 10; i++) await page.mouse.move(...at(0.2 + i * 0.02, 0.3 + i * 0.03));
    await page.mouse.up();
    const after = await until('another colour', async () => ((await rose()) === '#ff8080' ? undefined : rose()));
    // 0.4 across is 344 degrees of Oklab: pink.
    await until('a strong pink', async () => {
      const [red = 0, green = 0, blue = 0] = (await rose()).match(/[0-9a-f]{2}/g)?.map((one) => Number.parseInt(one, 16)) ?? [];
      return (red === 255 && green < 140 && blue > 90 && blue < 230) || undefined;
    });
    expect(after).toMatch(/^#|^xy/);
    await page.getByRole('button', { name: 'Take back: colour of Rose' }).click();
    await until('the rose again', async () => (await rose()) === '#ff8080' || undefined);
  });

  test('is moved by arrow keys both ways, and the typed field stands beside it and moves the thumb', async () => {
    const { page } = await opened(LAPTOP);
    await picture(page, 'eye-1440');
    const hue = page.getByRole('slider', { name: 'Rose: hue' });
    const strength = page.getByRole('slider', { name: 'Rose: strength' });
    await hue.focus();
    const before = Number(await strength.inputValue());
    for (let i = 0; i < 5; i++) await hue.press('ArrowDown');
    await until('less strength', async () => (Number(await strength.inputValue()) === before - 5 ? true : undefined));
    const [hueBefore] = [Number(await hue.inputValue())];
    await hue.press('Shift+ArrowRight');
    await until('another hue', async () => (Number(await hue.inputValue()) === hueBefore + 5 ? true : undefined));
    await until('it in the store', async () => ((await rose()) === '#ff8080' ? undefined : true));
    await page.locator('#themeColour-rose').getByLabel('Colour', { exact: true }).fill('#0000ff');
    await until('the thumb at blue', async () => Number(await hue.inputValue()) < 25 || undefined);
    expect(await hue.getAttribute('aria-valuetext')).toContain('some of them do');
  });

  test('says which lights reach it, all of them or those that are meant', async () => {
    const { page } = await opened();
    const said = page.locator('.colour-plane-legend [data-here="true"]');
    await page.locator('#themeColour-rose').getByLabel('Colour', { exact: true }).fill('#ff2040');
    await until('only some', async () => ((await said.textContent()) === 'some of them do' ? true : undefined));
    await page.getByRole('radio', { name: 'uplights' }).check();
    await until('all uplights', async () => ((await said.textContent()) === 'all 2 lights reach it' ? true : undefined));
    await picture(page, 'eye-uplights-390');
    await page.locator('#themeColour-rose').getByLabel('Colour', { exact: true }).fill('xy 0.0743 0.8338');
    await until('none', async () => ((await said.textContent()) === 'none of them does' ? true : undefined));
  });

  test.each([
    ['a narrow phone', { width: 320, height: 640 }],
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])(
    'on %s keeps to the rules: no finding of axe, a thumb of 48 pixels, nothing wider than the screen',
    async (_what, viewport) => {
      const { page } = await opened(viewport);
      await picture(page, `eye-rules-${viewport.width}`);
      const thumb = await page.locator('.colour-plane-thumb').boundingBox();
      expect(thumb?.width).toBeGreaterThanOrEqual(48);
      expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
      await page.evaluate(axe.source);
      const found = await page.evaluate(async () => {
        const { axe: run } = window as unknown as {
          axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
        };
        return (await run.run()).violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
      });
      expect(found).toEqual([]);
    },
  );
});

import axe from 'axe-core';
import { differenceCiede2000 } from 'culori';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';

/** Colours of a theme: from a photo, and within what the lamps can reach. */
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'small-hall',
  name: 'Small hall',
  theme: { name: 'Rose', colours: [{ id: 'rose', name: 'Rose', value: '#ff0000' }] },
  fixtures: [
    { id: 'par', name: 'Par', type: 'rgb-par', mode: '3ch', universe: 1, address: 1, use: 'uplight' },
    { id: 'other', name: 'Other', type: 'rgb-par', mode: '3ch', universe: 1, address: 11, use: 'totem' },
  ],
  looks: [{ id: 'glow', name: 'Glow', parts: [{ who: [{ fixture: 'par' }], level: 1, colour: 'theme:rose' }] }],
  buttons: [],
};
const bouquet = ['#ff6f91', '#ffd166', '#6fffa9', '#5b8cff', '#c77dff'];

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

async function colours(viewport = PHONE): Promise<Page> {
  const { page } = await pairedPage(browser, node, { viewport });
  await page.goto(`${node.file.url}/#/bench/colours`);
  await page.getByRole('heading', { name: 'Colours from a photo' }).waitFor();
  return page;
}

/** A JPEG of stripes, as a camera would save it. */
async function photo(page: Page, stripes: readonly string[]): Promise<Buffer> {
  const base64 = await page.evaluate(async (all) => {
    const canvas = new OffscreenCanvas(1000, 600);
    const context = canvas.getContext('2d') as OffscreenCanvasRenderingContext2D;
    for (const [i, colour] of all.entries()) {
      context.fillStyle = colour;
      context.fillRect((i * 1000) / all.length, 0, 1000 / all.length, 600);
    }
    const bytes = new Uint8Array(await (await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.9 })).arrayBuffer());
    return btoa(Array.from(bytes, (one) => String.fromCharCode(one)).join(''));
  }, stripes);
  return Buffer.from(base64, 'base64');
}
const take = async (page: Page, buffer: Buffer, name = 'bouquet.jpg') =>
  page.getByLabel('Choose a picture: the file').setInputFiles({ name, mimeType: 'image/jpeg', buffer });
const theme = async () => ((await (await node.ask('show')).json()) as typeof show).theme.colours;

describe('Colours from a photo', () => {
  test('are five, found in the browser alone, and are added one by one or all by one edit', async () => {
    const page = await colours();
    const buffer = await photo(page, bouquet);
    const sent: string[] = [];
    page.on('request', (request) => void sent.push(`${request.method()} ${request.url()}`));
    await take(page, buffer);
    const adds = page.locator('.photo-colours li').getByRole('button', { name: /^Add / });
    await until('five proposals', async () => ((await adds.count()) === 5 ? true : undefined));
    // Nothing of the photo has left the browser.
    expect(sent.filter((one) => !one.startsWith('GET '))).toEqual([]);
    if (process.env.SCREENS_TO !== undefined) {
      await page.getByRole('heading', { name: 'Colours from a photo' }).scrollIntoViewIfNeeded();
      await page.locator('.bench-page').evaluate((one) => one.scrollTo(0, 9999));
      await page.screenshot({ path: `${process.env.SCREENS_TO}/photo-390.png` });
    }
    await adds.first().click();
    await until('one more colour', async () => ((await theme()).length === 2 ? true : undefined));
    await page.getByRole('button', { name: 'Add the others' }).click();
    await until('all of them', async () => ((await theme()).length === 6 ? true : undefined));
    const [, ...added] = await theme();
    const apart = differenceCiede2000();
    for (const flower of bouquet) expect(Math.min(...added.map(({ value }) => apart(value, flower) as number))).toBeLessThan(3);
    expect(new Set(added.map(({ name }) => name.toLowerCase())).size).toBe(5);
    await page.getByRole('button', { name: /^Take back: / }).click();
    await until('four fewer', async () => ((await theme()).length === 2 ? true : undefined));
  });

  test('are none of a dark photo, nor of a file that is no picture: it is said what to do', async () => {
    const page = await colours();
    await take(page, await photo(page, ['#060606']), 'night.jpg');
    await page.getByText('It is too dark to find colours in it. Take one in more light.').waitFor();
    await take(page, Buffer.from('no picture at all'), 'list.txt');
    await page.getByText('list.txt is no picture that this browser can read. A JPEG or PNG will do.').waitFor();
  });
});

describe('A colour of the theme', () => {
  test('that lamps cannot reach says which, and shows the nearest; one that they can says nothing', async () => {
    const page = await colours();
    const value = page.getByLabel('Colour', { exact: true }).first();
    await value.fill('xy 0.0743 0.8338');
    await page.getByText('(2) cannot reach this colour; the nearest is shown.').waitFor();
    await value.fill('#ff2000');
    await page.getByText('cannot reach this colour').waitFor({ state: 'detached' });
  });
});

describe('A colour of a look', () => {
  test('that its lamps cannot reach says which; of several it says where, and a colour of the theme counts as its value', async () => {
    const page = await colours();
    await page.getByLabel('Colour', { exact: true }).first().fill('xy 0.0743 0.8338');
    await page.getByText('(2) cannot reach this colour').waitFor();
    await page.goto(`${node.file.url}/#/bench/looks/glow`);
    // One of the two lamps is in the look.
    await page.getByText('LED par, red green blue (1) cannot reach this colour; the nearest is shown.').waitFor();
    await page.getByLabel('Another colour', { exact: true }).fill('#ff2000');
    await page.getByRole('button', { name: 'Add this colour' }).click();
    await page.getByText('(1) cannot reach Rose where it falls to them; the nearest is shown.').waitFor();
    expect(await page.getByText('cannot reach').count()).toBe(1);
    await page.getByRole('checkbox', { name: 'Rose' }).click();
    await page.getByText('cannot reach').waitFor({ state: 'detached' });
  });
});

describe('The page of colours', () => {
  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])('on %s keeps to the rules with proposals and notes: axe, targets, width', async (_what, viewport) => {
    const page = await colours(viewport);
    await page.getByLabel('Colour', { exact: true }).first().fill('xy 0.0743 0.8338');
    await page.getByText('cannot reach this colour').waitFor();
    await take(page, await photo(page, bouquet));
    await page.getByRole('button', { name: 'Add all of them' }).waitFor();
    if (process.env.SCREENS_TO !== undefined)
      await page.screenshot({ path: `${process.env.SCREENS_TO}/colours-${viewport.width}.png` });
    await page.evaluate(axe.source);
    const found = await page.evaluate(async () => {
      const { axe: run } = window as unknown as {
        axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
      };
      return (await run.run()).violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
    });
    expect(found).toEqual([]);
    const small = await page.evaluate(() =>
      [...document.querySelectorAll<HTMLElement>('.bench button, .bench a, .bench input')]
        .filter((one) => one.offsetParent !== null && one.getBoundingClientRect().height < 47.5)
        .map((one) => one.outerHTML.slice(0, 80)),
    );
    expect(small).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
  });
});

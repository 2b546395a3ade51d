import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, newFolder, until } from '../helpers/node-process.ts';
import { Listener } from '../system/listener.ts';

/** The shows of a node in a real browser: which of them is on the wire is seen by its bytes. */
const hall = {
  format: 'duskhand-show',
  version: 4,
  id: 'small-hall',
  name: 'Small hall',
  theme: { name: 'Rose', colours: [] },
  fixtures: [{ id: 'par', name: 'Par', type: 'rgb-par', mode: '3ch', universe: 1, address: 1, use: 'uplight' }],
  looks: [{ id: 'red', name: 'Red walls', fade: 0, parts: [{ who: [{ all: true }], level: 1, colour: '#ff0000' }] }],
  buttons: [{ id: 'red', name: 'Red walls', starts: [{ look: 'red' }] }],
  start: [{ look: 'red' }],
};
const blue = {
  ...hall,
  id: 'tent',
  name: 'Tent',
  looks: [{ id: 'blue', name: 'Blue walls', fade: 0, parts: [{ who: [{ all: true }], level: 1, colour: '#0000ff' }] }],
  buttons: [],
  start: [{ look: 'blue' }],
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
  node = await NodeProcess.start({ show: hall, sacn: wire.address });
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
  wire.close();
});

const slots = (): string => [...(wire.latest(1, 16) ?? [])].slice(0, 3).join(' ');
const become = (wanted: string) => until(`slots at ${wanted}`, () => slots() === wanted || undefined);
const RED = '255 0 0';
const BLUE = '0 0 255';

async function shows(viewport = PHONE): Promise<Page> {
  const { page } = await pairedPage(browser, node, { viewport });
  await page.goto(`${node.file.url}/#/bench/shows`);
  await page.getByRole('heading', { name: 'Shows', exact: true }).waitFor();
  await page.getByRole('heading', { name: 'Small hall plays' }).waitFor();
  return page;
}
const heading = (page: Page, name: string) => page.getByRole('heading', { name, exact: true });
const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click();
function file(content: object | string): string {
  const path = join(newFolder(), 'a-show.json');
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content));
  return path;
}

describe('Shows', () => {
  test('are made empty, copied, renamed, saved, put into the bin and brought back, and what plays plays on', async () => {
    await become(RED);
    const page = await shows();
    const other = await shows(LAPTOP);
    await press(page, 'An empty show');
    await heading(page, 'New show').waitFor();
    // Whoever else looks at the list sees it too.
    await heading(other, 'New show').waitFor();
    await press(page, 'Copy Small hall');
    await heading(page, 'Small hall, copy').waitFor();
    await press(page, 'Rename Small hall, copy');
    await page.getByLabel('Name', { exact: true }).fill('Harvest supper');
    await press(page, 'Call it so');
    await heading(other, 'Harvest supper').waitFor();
    const [saved] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Save as a file: Harvest supper' }).click(),
    ]);
    expect(saved.suggestedFilename()).toBe('small-hall-copy.json');
    const stream = await saved.createReadStream();
    const text = await new Promise<string>((done) => {
      let all = '';
      stream.on('data', (chunk) => (all += String(chunk))).on('end', () => done(all));
    });
    expect(JSON.parse(text)).toMatchObject({ id: 'small-hall-copy', name: 'Harvest supper', looks: [{ name: 'Red walls' }] });
    await press(page, 'Into the bin: Harvest supper');
    await heading(other, 'In the bin').waitFor();
    expect(await other.getByRole('button', { name: 'Open Harvest supper' }).count()).toBe(0);
    await press(other, 'Bring it back: Harvest supper');
    await page.getByRole('button', { name: 'Open Harvest supper' }).waitFor();
    // The one that plays can be put nowhere.
    expect(await page.getByRole('button', { name: 'Into the bin: Small hall' }).count()).toBe(0);
    expect(slots()).toBe(RED);
    expect((await node.status()).show.id).toBe('small-hall');
  });

  test('say first what opening does, and the other one is on the wire then; an empty one sends nothing more and says what to do', async () => {
    await become(RED);
    const page = await shows();
    await page.getByLabel('A show file').setInputFiles(file(blue));
    await heading(page, 'Tent').waitFor();
    expect(slots()).toBe(RED);
    await press(page, 'Open Tent');
    await page.getByText('Red walls of “Small hall” stops. It starts with Blue walls.').waitFor();
    expect(slots()).toBe(RED);
    await press(page, 'Open it now');
    await become(BLUE);
    await page.getByRole('heading', { name: 'Tent plays' }).waitFor();
    // The bench edits the other one now.
    await page.getByRole('link', { name: 'Bench', exact: true }).last().click();
    await page.getByRole('heading', { name: 'Tent' }).waitFor();
    await page.evaluate(() => location.assign('#/bench/shows'));
    await press(page, 'An empty show');
    await press(page, 'Open New show');
    await page.getByText('It has no lights yet').waitFor();
    await press(page, 'Open it now');
    await page.getByRole('heading', { name: 'New show plays' }).waitFor();
    await page.evaluate(() => location.assign('#/tonight'));
    await page.getByRole('link', { name: 'Open another show, or fill this one' }).click();
    // After a power cut it is that one still, and what was there is there.
    await until('the last of the stream', () => wire.heard.findLast(({ universe }) => universe === 1)?.terminated || undefined);
    await node.kill();
    const sent = await wire.count();
    node = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    expect((await node.status()).show.name).toBe('New show');
    await wire.count();
    expect(wire.heard.slice(sent).filter(({ universe }) => universe === 1)).toEqual([]);
    expect((await (await node.ask('show/tent')).json()) as object).toMatchObject({ name: 'Tent' });
  });

  test('that are saved as a file come back from it just as they were, beside the one that was saved', async () => {
    const page = await shows();
    const save = async (id: string): Promise<Record<string, unknown>> => {
      const [saved] = await Promise.all([page.waitForEvent('download'), page.locator(`a[download="${id}.json"]`).click()]);
      return JSON.parse(readFileSync(await saved.path(), 'utf8')) as Record<string, unknown>;
    };
    const first = await save('small-hall');
    // Word for word what is there is no second show; what has been changed since is.
    const change = { do: 'set', kind: 'show', id: 'small-hall', field: 'tempo', was: 120, now: 99 };
    await node.ask('show/edit', { method: 'POST', body: JSON.stringify({ editId: 'another-tempo', changes: [change] }) });
    await page.getByLabel('A show file').setInputFiles(file(first));
    const second = await save('small-hall-2');
    expect(second).toEqual({ ...first, id: 'small-hall-2' });
    // Into the bin and back it is the same still.
    await press(page, 'Into the bin: Small hall');
    await press(page, 'Bring it back: Small hall');
    expect(await save('small-hall-2')).toEqual(second);
  });

  test('come from a file beside what is there; one that makes no sense is refused with what and where', async () => {
    const page = await shows();
    await page.getByLabel('A show file').setInputFiles(file({ ...hall, name: 'From elsewhere' }));
    await heading(page, 'From elsewhere').waitFor();
    await page.getByRole('heading', { name: 'Small hall plays' }).waitFor();
    await page.getByLabel('A show file').setInputFiles(file({ ...hall, tempo: 'fast', looks: [{ id: 'x' }] }));
    await page.getByText('The show has mistakes').waitFor();
    await page.getByText(/^tempo /).waitFor();
    await page.getByText(/^looks\[0\]\.name /).waitFor();
    await page.getByLabel('A show file').setInputFiles(file('{ "half": '));
    await page.getByText('This is not JSON').waitFor();
    // A file may be dropped too.
    await page.locator('.shows').evaluate((one, text) => {
      const dropped = new DataTransfer();
      dropped.items.add(new File([text], 'tent.json'));
      one.dispatchEvent(new DragEvent('drop', { bubbles: true, dataTransfer: dropped }));
    }, JSON.stringify(blue));
    await heading(page, 'Tent').waitFor();
    expect((await (await node.ask('show/small-hall')).json()) as object).toMatchObject({ name: 'Small hall' });
  });

  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])('on %s keep to the rules: no finding of axe, targets of 48 pixels, nothing wider than the screen', async (_what, viewport) => {
    const page = await shows(viewport);
    await press(page, 'An empty show');
    await press(page, 'Copy New show');
    await press(page, 'Into the bin: New show, copy');
    await press(page, 'Open New show');
    await page.getByText('It has no lights yet').waitFor();
    if (process.env.SCREENS_TO !== undefined)
      await page.screenshot({ path: `${process.env.SCREENS_TO}/shows-${viewport.width}.png`, fullPage: true });
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

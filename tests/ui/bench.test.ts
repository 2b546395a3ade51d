import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { Cable, LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { endAll, endAllBut, NodeProcess, until } from '../helpers/node-process.ts';
import { Listener } from '../system/listener.ts';

/** The bench in a real browser, on a real node: what is changed there is at the wire. */
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
  looks: [{ id: 'glow', name: 'Glow', fade: 0, parts: [{ who: [{ use: 'uplight' }], level: 1, colour: 'theme:rose' }] }],
  buttons: [{ id: 'glow', name: 'Glow', starts: [{ look: 'glow' }] }],
};

let browser: Browser;
let node: NodeProcess;
let wire: Listener;
beforeAll(async () => {
  browser = await openBrowser();
  wire = await Listener.open();
  node = await NodeProcess.start({ show, sacn: wire.address });
});
afterAll(async () => {
  await browser.close();
  await endAll();
  wire.close();
});
beforeEach(() => node.plays(show));
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAllBut(node);
});

const slots = (from = 1): string => [...(wire.latest(1, 16) ?? [])].slice(from - 1, from + 2).join(' ');
const become = (wanted: string, from = 1) => until(`slots ${from} at ${wanted}`, () => slots(from) === wanted || undefined);

async function bench(at: string, options: Parameters<typeof pairedPage>[2] = {}): Promise<Page> {
  const { page } = await pairedPage(browser, node, options);
  await page.goto(`${options?.url ?? node.file.url}/#/bench${at}`);
  await page.locator('.bench').waitFor();
  return page;
}
const onTheLights = (page: Page) => page.getByRole('button', { name: 'On the lights' }).click();
const field = (page: Page, label: string) => page.getByLabel(label, { exact: true }).first();

describe('A colour of the theme', () => {
  test('that is changed as people write it changes what is on at once, on every bench; it is taken back by one press', async () => {
    await node.command({ do: 'press', button: 'glow' });
    await become('255 0 0');
    const [one, two] = [await bench('/colours'), await bench('/colours', { viewport: LAPTOP })];
    await onTheLights(one);
    await field(one, 'Colour').fill('lime');
    await become('0 255 0');
    await field(one, 'Colour').blur();
    await until('the other bench has it', async () => ((await field(two, 'Colour').inputValue()) === '#00ff00' ? true : undefined));
    await one.getByRole('button', { name: 'Take back: colour of Rose' }).click();
    await become('255 0 0');
    await one.getByRole('button', { name: 'Bring back: colour of Rose' }).click();
    await become('0 255 0');
    expect(await two.getByRole('button', { name: /^Take back/ }).isDisabled()).toBe(true);
  });

  test('that makes no sense is not sent; what was typed stays, and it is said what is understood', async () => {
    const page = await bench('/colours');
    await field(page, 'Colour').fill('no such thing');
    await page.getByText('A colour such as #f7e7ce, 2700 K or its English name.').waitFor();
    expect(await field(page, 'Colour').inputValue()).toBe('no such thing');
    expect((await node.ask('show')).ok).toBe(true);
    await field(page, 'Colour').fill('2 700 k');
    await until('the node has it', async () => {
      const { theme } = (await (await node.ask('show')).json()) as typeof show;
      return theme.colours[0]?.value === '2700 K' || undefined;
    });
  });
});

describe('A look', () => {
  test('is made, is given lights, a level and a colour, and is played without a file or a terminal', async () => {
    const page = await bench('');
    await onTheLights(page);
    await page.getByRole('link', { name: 'Looks' }).click();
    await page.getByRole('button', { name: 'Make a new look' }).click();
    await page.getByRole('heading', { name: 'New look' }).waitFor();
    await field(page, 'Name').fill('Dinner');
    await page.getByRole('heading', { name: 'Dinner' }).waitFor();
    await page.getByRole('slider').fill('100');
    await page.getByRole('checkbox', { name: 'Rose' }).check();
    await page.getByRole('button', { name: 'Give it a button' }).click();
    await page.getByRole('button', { name: 'Press its button' }).click();
    await become('255 0 0');
    await become('255 0 0', 11);
    // What lights nothing any more is said, and what played last plays on.
    await page.getByRole('button', { name: 'Take out: All lights' }).click();
    await page.getByText('It lights nothing yet').waitFor();
    await page.getByText('Not playable yet: what played last plays on').waitFor();
    await page.getByText('Guests see nothing of what you change until').waitFor();
    await page.getByRole('button', { name: 'Add lights' }).click();
    await page.getByRole('checkbox', { name: 'All totems' }).check();
    await page.getByText('Not playable yet').waitFor({ state: 'detached' });
    await page.evaluate(() => location.assign('#/tonight'));
    await page.locator('.tonight').waitFor();
    await page
      .getByRole('button', { name: /Dinner/ })
      .first()
      .waitFor();
  });

  test('that is on follows the pull, and one press takes the whole pull back', async () => {
    await node.command({ do: 'press', button: 'glow' });
    await become('255 0 0');
    const page = await bench('/looks');
    await page.getByRole('link', { name: 'Glow' }).click();
    await onTheLights(page);
    const slider = page.getByRole('slider');
    await slider.focus();
    for (let i = 0; i < 30; i++) await page.keyboard.press('ArrowLeft');
    await until('less light', () => (Number(slots().split(' ')[0]) < 130 ? true : undefined));
    // With the key that is let go its last is stored, without waiting for its second.
    await until('the last of it is stored', async () => {
      const { looks } = (await (await node.ask('show')).json()) as { looks: { parts: { level: number }[] }[] };
      return looks[0]?.parts[0]?.level === 0.7 || undefined;
    });
    await page.getByRole('button', { name: 'Take back: level of Glow' }).click();
    await become('255 0 0');
    await page.getByRole('button', { name: /^Take back/, disabled: true }).waitFor();
  });
});

describe('What is on', () => {
  test('becomes a look by one press, which lights the same; while nothing is lit it is said', async () => {
    const page = await bench('/looks');
    await page.getByRole('button', { name: 'Make a look of what is on' }).click();
    await page.getByText('Nothing is lit that a look could be made of').waitFor();
    await node.command({ do: 'press', button: 'glow' });
    await become('255 0 0');
    await page.getByRole('button', { name: 'Make a look of what is on' }).click();
    await page.getByRole('heading', { name: 'What was on' }).waitFor();
    const { looks } = (await (await node.ask('show')).json()) as { looks: { name: string; parts: object[] }[] };
    expect(looks.find(({ name }) => name === 'What was on')?.parts).toEqual([
      { who: [{ all: true }], brightness: 'best', level: 0 },
      { who: [{ use: 'uplight' }], brightness: 'best', level: 1, colour: 'theme:rose' },
    ]);
  });

  test('behind a master is taken without it, or as it is seen, and it is said which', async () => {
    const page = await bench('/looks');
    await node.command({ do: 'press', button: 'glow' });
    await become('255 0 0');
    await node.command({ do: 'master', level: 0.5 });
    await until('half', () => (Number(slots().split(' ')[0]) < 100 ? true : undefined));
    const looks = async () =>
      ((await (await node.ask('show')).json()) as { looks: { name: string; parts: { level: number }[] }[] }).looks;
    await page.getByRole('button', { name: 'Make a look of what is on' }).click();
    await page.getByText('Levels (All lights at 50 %) hold light back now.').waitFor();
    await page.getByRole('button', { name: 'As bright as it is without them' }).click();
    await page.getByText('Taken as bright as it is without them').waitFor();
    expect((await looks()).at(-1)?.parts[1]?.level).toBeCloseTo(1, 1);
    await page.goto(`${node.file.url}/#/bench/looks`);
    await page.getByRole('button', { name: 'Make a look of what is on' }).click();
    await page.getByRole('button', { name: 'As it is seen now' }).click();
    await page.getByText('Taken as it was seen').waitFor();
    expect((await looks()).at(-1)?.parts[1]?.level).toBeCloseTo(0.5, 1);
  });
});

describe('Two who change the same', () => {
  test('hear of it: the second is told by whom, keeps what they wanted, and chooses', async () => {
    const cable = await Cable.lay(node.file.url);
    try {
      const page = await bench('/colours', { url: cable.url });
      cable.cut();
      await page.locator('[data-open="false"]').waitFor();
      await field(page, 'Colour').fill('blue');
      await page.getByText('1 change of yours will be sent when it is back').waitFor();
      const change = { do: 'set', kind: 'themeColour', id: 'rose', field: 'value', was: '#ff0000', now: '#00ff00' };
      await node.ask('show/edit', { method: 'POST', body: JSON.stringify({ editId: 'from-elsewhere', changes: [change] }) });
      cable.mend();
      // The page sends what it wants on what it saw, though it has read since what stands there now.
      await page.getByText('command line has changed the value meanwhile. Yours is not lost.').waitFor();
      const value = async () => ((await (await node.ask('show')).json()) as typeof show).theme.colours[0]?.value;
      expect(await value()).toBe('#00ff00');
      await page.getByRole('button', { name: 'Put mine there' }).click();
      await until('mine is there', async () => (await value()) === '#0000ff' || undefined);
    } finally {
      cable.remove();
    }
  });
});

describe('What one has done and another has changed since', () => {
  test('is taken back if that is wanted all the same, or left to them; the line about them goes by itself', async () => {
    const value = async () => ((await (await node.ask('show')).json()) as typeof show).theme.colours[0]?.value;
    const become = (wanted: string) => until(`the colour ${wanted}`, async () => (await value()) === wanted || undefined);
    const page = await bench('/colours');
    const mineThenTheirs = async (mine: string, was: string, now: string): Promise<void> => {
      await field(page, 'Colour').fill(mine);
      await become(was);
      await field(page, 'Colour').blur();
      const change = { do: 'set', kind: 'themeColour', id: 'rose', field: 'value', was, now };
      await node.ask('show/edit', { method: 'POST', body: JSON.stringify({ editId: `elsewhere-${now}`, changes: [change] }) });
      await page.getByText(/command line: colour of Lake$/).waitFor();
      await page.getByRole('button', { name: 'Take back: colour of Lake' }).click();
      await page.getByText('command line has changed that since: nothing was done.').waitFor();
      expect(await value()).toBe(now);
    };
    await field(page, 'Name').fill('Lake');
    await field(page, 'Name').blur();
    await mineThenTheirs('blue', '#0000ff', '#00ff00');
    await page.getByRole('button', { name: 'Leave theirs' }).click();
    // What was done before is next.
    await page.getByRole('button', { name: 'Take back: name of Lake' }).waitFor();
    expect(await value()).toBe('#00ff00');
    await page.getByText(/^.*command line: /).waitFor({ state: 'detached', timeout: 15_000 });
    await mineThenTheirs('white', '#ffffff', '#ff00ff');
    await page.getByRole('button', { name: 'Take it back all the same' }).click();
    await become('#00ff00');
    await page.getByText('has changed that since').waitFor({ state: 'detached' });
  });
});

describe('The bench', () => {
  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])(
    'on %s keeps to the rules: no finding of axe, targets of 48 pixels, nothing wider than the screen',
    async (_what, viewport) => {
      const page = await bench('', { viewport });
      for (const at of ['', '/colours', '/looks', '/looks/glow', '/show', '/shows', '/history']) {
        await page.evaluate((hash) => location.assign(hash), `#/bench${at}`);
        await page.locator('.bench').waitFor();
        await page.evaluate(axe.source);
        const found = await page.evaluate(async () => {
          const run = (
            window as unknown as { axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> } }
          ).axe;
          return (await run.run()).violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
        });
        expect(found).toEqual([]);
        const small = await page.evaluate(() =>
          [...document.querySelectorAll<HTMLElement>('.bench button, .bench a, .bench input, .bench select, .bench summary')]
            .filter((one) => one.offsetParent !== null)
            .map((one) => (one.matches('.choices input, .bench-chip input') ? (one.closest('label') as HTMLElement) : one))
            .filter((one) => one.getBoundingClientRect().height < 47.5)
            .map((one) => one.outerHTML.slice(0, 80)),
        );
        expect(small).toEqual([]);
        expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
      }
    },
  );

  test('is for operators: a helper finds neither the page nor what it reads', async () => {
    const { page } = await pairedPage(browser, node, { role: 'helper' });
    expect(await page.evaluate(async () => (await fetch('/api/bench')).status)).toBe(403);
    expect(await page.getByRole('link', { name: 'Bench' }).count()).toBe(0);
  });
});

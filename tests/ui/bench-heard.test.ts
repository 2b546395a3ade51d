import { createSocket, type Socket } from 'node:dgram';
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Part } from '../../node/show/document.ts';
import { LAPTOP, openBrowser, PHONE, paintsAt, pairedPage } from '../helpers/browser.ts';
import { levelOf } from '../helpers/lightness.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { data, PREVIEW } from '../monitor/by-hand.ts';

/** Where no other node of a busy machine sends. */
const UNIVERSE = 741;
const lamp = (n: number, universe: number) => ({
  ...{ id: `par-${n}`, name: `Par ${n}`, type: 'rgb-par', mode: '3ch', use: 'uplight' },
  ...{ universe, address: 3 * n - 2 },
});
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'small-hall',
  name: 'Small hall',
  theme: { name: 'None', colours: [] },
  fixtures: [lamp(1, UNIVERSE), lamp(2, UNIVERSE), lamp(3, UNIVERSE + 1)],
  looks: [],
  buttons: [],
};

/** Another controller: the printed packet of E1.31-2018 (Table B-13) with these first slots, 20 times a second on the loopback. */
class Desk {
  slots: readonly number[] = [];
  options = 0;
  readonly #socket: Socket = createSocket('udp4');
  #sequence = 0;
  #timer: NodeJS.Timeout | undefined;

  async start(): Promise<void> {
    await new Promise<void>((resolve) => this.#socket.bind(0, '127.0.0.1', resolve));
    this.#socket.setMulticastInterface('127.0.0.1');
    this.#timer = setInterval(() => {
      const packet = data({
        universe: UNIVERSE,
        name: 'Desk of the band',
        options: this.options,
        sequence: ++this.#sequence & 0xff,
      });
      packet.fill(0, 126).set(this.slots, 126);
      this.#socket.send(packet, 5568, `239.255.${UNIVERSE >> 8}.${UNIVERSE & 0xff}`);
    }, 50);
  }

  stop(): void {
    clearInterval(this.#timer);
    this.#timer = undefined;
  }

  close(): void {
    this.stop();
    this.#socket.close();
  }
}

let browser: Browser;
let node: NodeProcess;
let desk: Desk;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  desk = new Desk();
  node = await NodeProcess.start({ show, outputs: [{ id: 'stage', protocol: 'sacn', to: ['127.0.0.1:9'] }] });
});
afterEach(async () => {
  desk.close();
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
});

async function looks(viewport = PHONE): Promise<Page> {
  const { page } = await pairedPage(browser, node, { viewport });
  await page.goto(`${node.file.url}/#/bench/looks`);
  await page.getByRole('link', { name: 'Make a look of what another controller sends' }).click();
  return page;
}
const stored = async () => ((await (await node.ask('show')).json()) as { looks: { name: string; parts: readonly Part[] }[] }).looks;
const picture = async (page: Page, name: string): Promise<void> => {
  if (process.env.SCREENS_TO !== undefined) await page.screenshot({ path: `${process.env.SCREENS_TO}/${name}.png` });
};

describe('What another controller sends', () => {
  test('is found, picked, seen in the picture of the room, named, and becomes a look that is taken back by one press', async () => {
    const page = await looks();
    await page.getByText(`Listening on universes ${UNIVERSE} and ${UNIVERSE + 1}, where the lights of this show are.`).waitFor();
    await page.getByText('Both are on the same network.').waitFor();
    await page.getByText(`It sends universes ${UNIVERSE} and ${UNIVERSE + 1}, as the lights of this show are set.`).waitFor();
    await picture(page, 'heard-nobody-390');

    // Red at full on the first lamp, a fifth of blue's light on the second; slot 100 is of no lamp.
    desk.slots = Array.from({ length: 100 }, (_, i) => (i === 0 ? 255 : i === 5 ? 51 : i === 99 ? 9 : 0));
    await desk.start();
    const row = page.getByRole('button', { name: /Desk of the band/ });
    await row.waitFor();
    await page.getByText('Sends for 2 of 3 lights.').waitFor();
    await page
      .getByText(new RegExp(`sACN from 127\\.0\\.0\\.1, universe ${UNIVERSE}, priority 100, [1-9]\\d* times a second`))
      .waitFor();
    await row.click();
    await page.getByText('It lights 2 lights, as the picture shows.').waitFor();
    await page.getByText(`Nothing is heard on universe ${UNIVERSE + 1}: the look leaves Par 3 as it is.`).waitFor();
    await page.getByText(`1 slot of universe ${UNIVERSE} is of no light of yours and left out: 100.`).waitFor();
    await page.getByText('Drawn: what “Desk of the band” sends, as your lights would show it.').waitFor();
    // The first lamp stands on the left, the second in the middle, the third on the right.
    await paintsAt(page, 0.15, 0.65, 'red');
    await paintsAt(page, 0.5, 0.65, 'blue');
    await paintsAt(page, 0.9, 0.65, 'dark');
    await picture(page, 'heard-390');

    // It goes before the look is made: what came last is still there.
    desk.stop();
    await page.getByText('“Desk of the band” is not heard any more: this is what came last.').waitFor();
    // It stays in the list for a while, and its row says so.
    await row.getByText(/stopped \d+ s ago/).waitFor();
    await page.getByText('Nobody else is heard there now.').waitFor();
    await page.getByLabel('Name').fill('The band’s red');
    await page.getByRole('button', { name: 'Make this look' }).click();
    await page.getByRole('heading', { name: 'The band’s red' }).waitFor();
    await page.getByText(`Nothing is heard on universe ${UNIVERSE + 1}`).waitFor();
    const [made] = await until('the look', async () => ((await stored()).length === 1 ? stored() : undefined));
    // Chromaticities of GDTF annex B, lightness by CIE 15.
    expect(made).toMatchObject({
      name: 'The band’s red',
      parts: [
        { who: [{ fixture: 'par-1' }, { fixture: 'par-2' }], level: 0 },
        { who: [{ fixture: 'par-1' }], level: 1, colour: 'xy 0.6400 0.3300' },
        { who: [{ fixture: 'par-2' }], level: expect.closeTo(levelOf(0.2), 3), colour: 'xy 0.1500 0.0600' },
      ],
    });
    await page.getByRole('button', { name: /^Take back: / }).click();
    await until('no look', async () => ((await stored()).length === 0 ? true : undefined));
  });

  test('is nothing to make a look of where it is dark, or preview data', async () => {
    const page = await looks();
    await desk.start();
    await page.getByRole('button', { name: /Desk of the band/ }).click();
    await page.getByText('It lights none of your lights: there is nothing to make a look of.').waitFor();
    expect(await page.getByRole('button', { name: 'Make this look' }).isDisabled()).toBe(true);
    desk.options = PREVIEW;
    await page.getByText('“Desk of the band” sends preview data only.').waitFor();
  });

  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])('on %s keeps to the rules: axe, targets, width, keyboard', async (_what, viewport) => {
    desk.slots = [255, 0, 0, 0, 0, 51, 9, 9, 9];
    await desk.start();
    const page = await looks(viewport);
    const row = page.getByRole('button', { name: /Desk of the band/ });
    await row.waitFor();
    await row.focus();
    await page.keyboard.press('Enter');
    await page.getByText('The look that comes of it').waitFor();
    await page.getByText('Drawn: what “Desk of the band” sends').waitFor();
    await picture(page, `heard-${viewport.width}-picked`);
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

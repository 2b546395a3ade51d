import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { Cable, openBrowser, pairedPage } from '../helpers/browser.ts';
import { endAll, endAllBut, NodeProcess, until } from '../helpers/node-process.ts';
import { Listener } from '../system/listener.ts';

/** What the screen says, held against the bytes at the wire. */
let browser: Browser;
let node: NodeProcess;
let wire: Listener;

const walls = [{ use: 'uplight' }];
/** Slots of universe 1. Pars: dimmer, red, green, blue, white, strobe at 1 and 11; a string at 21; a hazer at 31 and its fan. */
const show = {
  format: 'duskhand-show',
  version: 2,
  id: 'truth',
  name: 'Truth',
  theme: { name: 'One', colours: [{ id: 'plum', name: 'Plum', value: '#8a4f86' }] },
  fixtures: [
    { id: 'left', name: 'Left par', type: 'rgbw-par', mode: '6ch', universe: 1, address: 1, use: 'uplight' },
    { id: 'right', name: 'Right par', type: 'rgbw-par', mode: '6ch', universe: 1, address: 11, use: 'uplight' },
    { id: 'string', name: 'String', type: 'dimmer', mode: '1ch', universe: 1, address: 21, use: 'centrepiece' },
    { id: 'hazer', name: 'Hazer', type: 'hazer', mode: '2ch', universe: 1, address: 31, use: 'haze' },
  ],
  looks: [
    { id: 'base', name: 'Base', fade: 0, stay: true, unattended: true, parts: [{ who: [{ fixture: 'string' }], level: 0.4 }] },
    { id: 'plum', name: 'Plum', fade: 0, parts: [{ who: walls, level: 1, colour: 'theme:plum' }] },
    { id: 'green', name: 'Green', fade: 0, parts: [{ who: walls, level: 1, colour: '#00ff00' }] },
    { id: 'string', name: 'String', fade: 0, parts: [{ who: [{ fixture: 'string' }], level: 0.8 }] },
    { id: 'haze', name: 'Haze', fade: 0, parts: [{ who: [{ use: 'haze' }], haze: 1 }] },
  ],
  hits: [{ id: 'bump', name: 'Bump', longest: 1, parts: [{ who: [{ fixture: 'string' }], level: 1 }] }],
  buttons: [
    { id: 'plum', name: 'Dinner', starts: [{ look: 'plum' }] },
    { id: 'green', name: 'Garden', starts: [{ look: 'green' }] },
    { id: 'string', name: 'Tables', starts: [{ look: 'string' }] },
    { id: 'haze', name: 'Haze', starts: [{ look: 'haze' }] },
    { id: 'bump', name: 'Bump', starts: [{ hit: 'bump' }] },
  ],
  moments: [{ id: 'all', name: 'The evening', buttons: ['plum', 'green', 'string', 'haze', 'bump'] }],
  start: [{ look: 'base' }],
  remoteWatch: { allow: 5, countdown: 5 },
};

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

const slot = (number: number): number => wire.heard.findLast(({ universe }) => universe === 1)?.slots[number - 1] ?? Number.NaN;
const dark = (): true | undefined => [1, 11, 21].every((number) => slot(number) === 0) || undefined;
const button = (page: Page, id: string) => page.locator(`[data-button="${id}"]`);
const says = (page: Page, text: string | RegExp) => page.locator('.what > summary').filter({ hasText: text }).waitFor();
/** A second touch within 350 ms is taken for a thumb that bounced. */
const pastTheBounce = (page: Page) => page.waitForTimeout(400);

describe('What guests see now', () => {
  test('is said from the bytes: colours by the client’s names, darkness and why', async () => {
    const { page } = await pairedPage(browser, node);
    await says(page, 'Centrepiece warm white');
    expect(slot(21)).toBeGreaterThan(0);
    await button(page, 'plum').click();
    await says(page, 'Walls plum');
    expect(slot(1)).toBe(255);
    await node.command({ do: 'master', level: 0 });
    await says(page, 'Dark: all lights are at 0 %.');
    expect(dark()).toBe(true);
    await button(page, 'plum').getByText('on, dark').waitFor();
    await node.command({ do: 'master', level: 1 });
    await node.command({ do: 'blackout', on: true });
    await says(page, 'Dark: blackout.');
    expect(dark()).toBe(true);
  });

  test('what is covered waits underneath and is not called on; a press brings it to the top', async () => {
    const { page } = await pairedPage(browser, node);
    await button(page, 'plum').click();
    await button(page, 'green').click();
    await says(page, 'Walls green');
    // What is covered and not to stay has left the stack; what stays waits.
    await expect.poll(() => button(page, 'plum').getAttribute('aria-pressed')).toBe('false');
    await pastTheBounce(page);
    await button(page, 'plum').click();
    await says(page, 'Walls plum');
  });

  test('where no output carries it nothing claims that it is sent', async () => {
    const silent = await NodeProcess.start({ show });
    const { page } = await pairedPage(browser, silent);
    await says(page, 'Sent nowhere');
    expect(await page.locator('.frame').getAttribute('data-sent')).toBe('nowhere');
  });
});

describe('One press', () => {
  test('all off, softly: everything fades, what the show starts with included, and it can be taken back', async () => {
    const { page } = await pairedPage(browser, node);
    await button(page, 'plum').click();
    await says(page, 'Walls plum');
    await page.getByRole('button', { name: 'All off' }).click();
    await until('darkness', dark);
    await says(page, 'Dark: nothing is on.');
    await page.getByRole('button', { name: 'Back to Dinner' }).click();
    await until('light again', () => slot(1) === 255 || undefined);
    expect(slot(21)).toBeGreaterThan(0);
  });

  test('the last press is undone by its name', async () => {
    const { page } = await pairedPage(browser, node);
    await button(page, 'plum').click();
    await says(page, 'Walls plum');
    await button(page, 'green').click();
    await says(page, 'Walls green');
    const green = slot(3);
    await page.getByRole('button', { name: 'Back to Dinner' }).click();
    await says(page, 'Walls plum');
    expect(slot(3)).toBeLessThan(green);
  });

  test('lights up, calm: a helper’s press makes everything warm white, a blackout notwithstanding', async () => {
    const { page } = await pairedPage(browser, node, { role: 'helper' });
    await node.command({ do: 'press', button: 'Garden' });
    await node.command({ do: 'blackout', on: true });
    await until('darkness', dark);
    await page.getByRole('button', { name: 'Lights up' }).click();
    await says(page, 'Walls and centrepiece warm white');
    await until('full light', () => slot(1) > 100 || undefined);
    // 2700 K: more red than green, more green than blue.
    expect(slot(2)).toBeGreaterThan(slot(3));
    expect(slot(3)).toBeGreaterThan(slot(4));
  });

  test('after the fallback a button plays, and all off leaves nothing', async () => {
    const cable = await Cable.lay(node.file.url);
    const { page } = await pairedPage(browser, node, { url: cable.url });
    await button(page, 'plum').click();
    await says(page, 'Walls plum');
    cable.cut();
    await until('the fallback', () => slot(1) === 0 || undefined);
    cable.mend();
    await page.getByRole('button', { name: 'Resume' }).waitFor();
    await button(page, 'green').click();
    await says(page, 'Walls green');
    expect(slot(1)).toBe(255);
    await page.getByRole('button', { name: 'All off' }).click();
    await until('darkness', dark);
    await page.getByRole('button', { name: 'Resume' }).waitFor({ state: 'detached' });
    cable.remove();
  });
});

test('a wall that is pulled down in the picture goes down at the wire, says its name and value, and comes back', async () => {
  const { page } = await pairedPage(browser, node);
  await button(page, 'plum').click();
  await says(page, 'Walls plum');
  const box = await page.locator('.room').boundingBox();
  if (box === null) throw new Error('There is no room');
  const [x, y] = [box.x + box.width * 0.08, box.y + box.height * 0.45];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x, y + box.height * 0.4, { steps: 8 });
  await page.locator('.room-touched').getByText('50 %').waitFor();
  await page.mouse.up();
  await until('half of it', () => (slot(1) > 0 && slot(1) < 255) || undefined);
  expect(slot(21)).toBeGreaterThan(0);
  await page.getByRole('button', { name: 'Walls back to 100 %' }).click();
  await until('all of it', () => slot(1) === 255 || undefined);
});

test.each([
  ['a worker', async () => undefined],
  [
    'the page itself, where a browser has no canvases for workers',
    (page: Page) => page.addInitScript('delete HTMLCanvasElement.prototype.transferControlToOffscreen'),
  ],
  ['the page itself, where the worker does not come', (page: Page) => page.route(/easel-worker/, (route) => route.abort())],
] as const)('the room and the buttons are painted by %s', async (_, prepare) => {
  const { page } = await pairedPage(browser, node);
  await prepare(page);
  await page.reload();
  await button(page, 'plum').click();
  await says(page, 'Walls plum');
  /** Red, green and blue at a place of a canvas, as the page shows it. */
  const at = (canvas: string, x: number, y: number) =>
    page.evaluate(
      ([selector, across, down]) => {
        const from = document.querySelector(selector) as HTMLCanvasElement;
        const context = new OffscreenCanvas(100, 100).getContext('2d');
        context?.drawImage(from, 0, 0, 100, 100);
        return [...(context?.getImageData(across, down, 1, 1).data ?? [])].slice(0, 3);
      },
      [canvas, x, y] as const,
    );
  /** Plum is #8a4f86: more red and more blue than green. */
  const isPlum = ([red = 0, green = 0, blue = 0]: number[]) => red > 60 && red > 1.2 * green && blue > 1.2 * green;
  await expect.poll(async () => isPlum(await at('.room > canvas', 8, 55)), { timeout: 10_000 }).toBe(true);
  await expect.poll(async () => isPlum(await at('[data-button="plum"] canvas', 8, 55)), { timeout: 10_000 }).toBe(true);
});

test('a wall that gives no light is called dark when it is touched, whatever its level', async () => {
  const { page } = await pairedPage(browser, node);
  await says(page, 'Centrepiece warm white');
  expect([slot(1), slot(11)]).toEqual([0, 0]);
  const touches = async () => {
    const box = await page.locator('.room').boundingBox();
    if (box === null) throw new Error('There is no room');
    await page.mouse.click(box.x + box.width * 0.08, box.y + box.height * 0.45);
    return page.locator('.room-touched').textContent();
  };
  expect(await touches()).toBe('Walls dark now, level 100 %');
  await button(page, 'plum').click();
  await says(page, 'Walls plum');
  expect(await touches()).toBe('Walls level 100 %');
});

test('all that is said of a button is to be read on it, and no state makes it higher', async () => {
  const long =
    'One line that says a good deal more of what guests will see than two lines of a phone can hold, down to its very last word';
  await node.kill();
  node = await NodeProcess.start({
    show: { ...show, buttons: show.buttons.map((one) => (one.id === 'plum' ? { ...one, line: long.slice(0, 120) } : one)) },
    sacn: wire.address,
  });
  const { page } = await pairedPage(browser, node, { viewport: { width: 320, height: 640 } });
  const line = button(page, 'plum').locator('.line');
  const whole = () => line.evaluate((one) => one.scrollHeight <= one.clientHeight + 6 && one.scrollWidth <= one.clientWidth);
  expect(await line.textContent()).toBe(long.slice(0, 120));
  expect(await whole()).toBe(true);
  const height = async () => (await button(page, 'plum').boundingBox())?.height;
  const before = await height();
  await button(page, 'plum').click();
  await button(page, 'plum').getByText('on', { exact: true }).waitFor();
  expect(await whole()).toBe(true);
  expect(await height()).toBe(before);
});

describe('By hand', () => {
  test('a walk through says what is sent to the lamp, not what was asked for', async () => {
    const { page } = await pairedPage(browser, node);
    await page.goto(`${node.file.url}/#/wire`);
    await page.getByRole('button', { name: 'One by one' }).click();
    await page.getByText('It is sent white light now. Do you see it?').waitFor();
    expect(slot(1)).toBe(255);
    await node.command({ do: 'master', level: 0 });
    await page.getByText('It gets no light just now.').waitFor();
    await page.getByText('“All lights” is at 0 %').waitFor();
    expect(slot(1)).toBe(0);
    await page.getByRole('button', { name: 'I don’t' }).click();
    await page.getByRole('button', { name: 'I see it' }).click();
    await page.getByRole('button', { name: 'I see it' }).click();
    await page.getByRole('button', { name: 'I see it' }).click();
    await page.getByText('One was not seen').waitFor();
    await page.locator('.wire-noted').getByText('Left par').waitFor();
  });

  test('who loses the hands is told at once by whom', async () => {
    const { page: one } = await pairedPage(browser, node);
    const { page: two } = await pairedPage(browser, node);
    for (const page of [one, two]) await page.goto(`${node.file.url}/#/wire`);
    await one.getByRole('button', { name: 'One by one' }).click();
    await until('left lit up', () => slot(1) === 255 || undefined);
    await two.getByRole('button', { name: 'One by one' }).click();
    await one.getByText(/has taken over by hand/).waitFor({ timeout: 2000 });
    await two.getByText('It is sent white light now').waitFor();
  });

  test('the wire page calls nothing well that it cannot know, and darkness dark', async () => {
    const { page } = await pairedPage(browser, node);
    await page.goto(`${node.file.url}/#/wire`);
    await page.getByText('Data for all 4 lights is being sent by sACN; whether it arrives cannot be seen from here.').waitFor();
    await node.command({ do: 'master', level: 0 });
    await page.getByText('What is sent is dark. Dark: all lights are at 0 %.').waitFor();
    expect(dark()).toBe(true);
    expect(await page.getByText('All well').count()).toBe(0);
  });
});

test('a line that dies without a word is seen within a second, and nothing is claimed of the lights', async () => {
  const cable = await Cable.lay(node.file.url);
  const { page } = await pairedPage(browser, node, { url: cable.url });
  await says(page, 'Centrepiece');
  // From the last that was heard: half a second besides for a machine that does something else as well.
  cable.hush();
  const since = performance.now();
  await page.getByText('The node has not answered').waitFor({ timeout: 5000 });
  expect(performance.now() - since).toBeLessThan(1500);
  await page.getByText('What the lights do meanwhile cannot be seen from here').waitFor();
  await says(page, 'Last heard:');
  cable.remove();
});

test('what the corner says can be read where the line dies in a blackout', async () => {
  const cable = await Cable.lay(node.file.url);
  const { page } = await pairedPage(browser, node, { url: cable.url });
  await node.command({ do: 'blackout', on: true });
  await page.locator('.blackout[aria-pressed="true"]').waitFor();
  cable.cut();
  await page.locator('.blackout:disabled').waitFor();
  const inks = await page
    .locator('.blackout > .name, .blackout > .how')
    .evaluateAll((words) => words.map((one) => getComputedStyle(one).color));
  expect(new Set(inks).size).toBe(1);
  cable.remove();
});

test('what says what waits underneath leaves the buttons free with the next touch', async () => {
  const { page } = await pairedPage(browser, node);
  await button(page, 'string').click();
  const told = page.getByText('there again when what lies above goes');
  for (const leave of [() => page.locator('.moment-name').click(), () => page.keyboard.press('Escape'), () => told.click()]) {
    await page.getByText('1 waits underneath').click();
    await told.waitFor();
    await leave();
    await told.waitFor({ state: 'hidden' });
    // The list of moments, which the first of them opens, takes the place of the small print.
    if (await page.locator('.moment-list').isVisible()) await page.locator('.moment-name').click();
  }
});

test('what waits underneath stays out of the words beside it, in letters twice as large', async () => {
  const { page } = await pairedPage(browser, node);
  await page.evaluate(() => {
    document.documentElement.style.fontSize = '200%';
  });
  await button(page, 'string').click();
  const waits = page.locator('.beside summary');
  await waits.waitFor();
  expect(await waits.evaluate(({ scrollWidth, clientWidth }) => scrollWidth - clientWidth)).toBeLessThanOrEqual(0);
});

test('the first haze of a night asks, and not again once the venue has said yes', async () => {
  const { page } = await pairedPage(browser, node);
  await button(page, 'haze').click();
  await page.getByRole('alertdialog').waitFor();
  expect(slot(31)).toBe(0);
  await page.getByRole('button', { name: 'No haze' }).click();
  expect(slot(31)).toBe(0);
  await page.waitForTimeout(400);
  await button(page, 'haze').click();
  await page.getByRole('button', { name: 'The venue permits it' }).click();
  await until('haze', () => slot(31) === 255 || undefined);
  await node.command({ do: 'release', button: 'haze' });
  await until('no haze', () => slot(31) === 0 || undefined);
  await page.locator('[data-button="haze"][data-state="off"]').waitFor();
  await pastTheBounce(page);
  await button(page, 'haze').click();
  await until('haze again', () => slot(31) === 255 || undefined);
  expect(await page.getByRole('alertdialog').count()).toBe(0);
});

test('the first haze of a night asks on the bench too, where a look is played without a button', async () => {
  const { page } = await pairedPage(browser, node);
  await page.goto(`${node.file.url}/#/bench/looks/haze`);
  await page.getByRole('button', { name: 'On the lights', exact: true }).click();
  const play = page.getByRole('button', { name: 'Play it: Haze, over what is on' });
  await play.click();
  await page.getByRole('button', { name: 'No haze' }).click();
  await play.click();
  await page.getByRole('alertdialog').waitFor();
  await page.waitForTimeout(400);
  expect(slot(31)).toBe(0);
  // A page that is left takes its question along.
  await page.goto(`${node.file.url}/#/bench/looks`);
  await page.getByRole('alertdialog').waitFor({ state: 'detached' });
  await page.goto(`${node.file.url}/#/bench/looks/haze`);
  await play.click();
  await page.getByRole('button', { name: 'The venue permits it' }).click();
  await until('haze', () => slot(31) === 255 || undefined);
  await page.getByRole('button', { name: 'Off again: Haze' }).click();
  await until('no haze', () => slot(31) === 0 || undefined);
  await play.click();
  await until('haze again', () => slot(31) === 255 || undefined);
});

test('a hit that has lasted its longest is said to have ended, under the finger that still holds it', async () => {
  const { page } = await pairedPage(browser, node);
  const rests = slot(21);
  const box = await button(page, 'bump').boundingBox();
  if (box === null) throw new Error('There is no hit');
  await page.mouse.move(box.x + 20, box.y + 20);
  await page.mouse.down();
  await until('the hit', () => slot(21) === 255 || undefined);
  await page.getByText('“Bump” has ended by itself: it lasts 1 s at most.').waitFor();
  expect(slot(21)).toBe(rests);
  await page.mouse.up();
});

test('what is left to the node is said on every screen, and ends with a touch on any', async () => {
  const { page: one } = await pairedPage(browser, node);
  const { page: two } = await pairedPage(browser, node, { role: 'helper' });
  await one.getByRole('button', { name: 'More' }).click();
  await one.getByRole('button', { name: 'Leave it to the node' }).click();
  for (const page of [one, two]) await page.getByText('Left to the node until').waitFor();
  await one.goto(`${node.file.url}/#/papers`);
  await one.getByText('Left to the node until').waitFor();
  await two.locator('.state-line').click();
  for (const page of [one, two]) await page.getByText('Left to the node until').waitFor({ state: 'detached' });
});

test('where the browser lends no lock a muted clip keeps the screen on, and ends with Tonight', async () => {
  const { page, context } = await pairedPage(browser, node);
  await context.addInitScript(() => {
    Object.defineProperty(Navigator.prototype, 'wakeLock', { value: undefined });
    Reflect.deleteProperty(Navigator.prototype, 'wakeLock');
  });
  await page.reload();
  const clip = page.locator('video.keeps-screen-on');
  await clip.waitFor({ state: 'attached' });
  await until('a clip that plays', () => clip.evaluate((one: HTMLVideoElement) => (!one.paused && one.muted) || undefined));
  await page.goto(`${node.file.url}/#/papers`);
  await clip.waitFor({ state: 'detached' });
});

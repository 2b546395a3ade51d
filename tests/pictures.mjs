/** Takes the README's pictures from the demo show, with the built node and Debian's Chromium: `npm run pictures`. */
import { execFileSync, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const OUT = 'ui/pictures';
const PORT = 8599;
const PHONE = { width: 390, height: 844 };
const LAPTOP = { width: 1440, height: 900 };
const base = `http://127.0.0.1:${PORT}`;
const folder = mkdtempSync(join(tmpdir(), 'duskhand-pictures-'));
const duskhand = (...args) =>
  execFileSync(process.execPath, ['dist/node/main.js', ...args, '--data', folder], { encoding: 'utf8' });

const where = ['--http', `127.0.0.1:${PORT}`, '--interface', 'lo', '--sacn', '127.0.0.1', '--artnet', 'off', '--name', 'off'];
const node = spawn(
  process.execPath,
  ['dist/node/main.js', 'run', '--show', 'shows/barn-wedding.json', '--data', folder, ...where],
  {
    stdio: ['ignore', 'pipe', 'ignore'],
  },
);
await new Promise((playing) => node.stdout.once('data', playing));
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ],
});
mkdirSync(OUT, { recursive: true });

try {
  const context = await browser.newContext({ viewport: PHONE, hasTouch: true, deviceScaleFactor: 1 });
  const page = await context.newPage();
  await page.goto(base);
  await page.getByLabel('Code').waitFor();
  await page.screenshot({ path: `${OUT}/pairing-phone.png` });

  const [, code] = /Code: (\S+),/.exec(duskhand('pair'));
  await page.goto('about:blank');
  await page.goto(`${base}/#pair=${code}`);
  await page.getByRole('button').click();
  await page.locator('[data-button]').first().waitFor();
  duskhand('press', 'Dance floor');
  const cookies = await context.storageState();

  /** Three palettes side by side, for whoever asks why the third was chosen. */
  const palettes = async (state) => {
    const sets = [
      {
        ground: '#14100d',
        raised: '#201a15',
        line: '#6f6153',
        quiet: '#b9a791',
        text: '#eadfce',
        fill: '#574838',
        on: '#d6c4a6',
        hatch: '#3a3028',
      },
      {
        ground: '#0f0f0f',
        raised: '#1b1b1b',
        line: '#6a6a6a',
        quiet: '#b0b0b0',
        text: '#ededed',
        fill: '#3c3c3c',
        on: '#ededed',
        hatch: '#2e2e2e',
      },
      {},
    ];
    const other = await browser.newContext({ viewport: PHONE, storageState: state });
    const view = await other.newPage();
    await view.goto(`${base}/#/tonight`);
    await view.waitForTimeout(4500);
    const shots = [];
    for (const set of sets) {
      await view.evaluate((named) => {
        document.documentElement.removeAttribute('style');
        for (const [name, value] of Object.entries(named)) document.documentElement.style.setProperty(`--${name}`, value);
      }, set);
      await view.waitForTimeout(300);
      shots.push((await view.screenshot()).toString('base64'));
    }
    const board = await (await browser.newContext({ viewport: { width: 3 * PHONE.width + 32, height: PHONE.height } })).newPage();
    await board.setContent(
      `<body style="margin:0;display:flex;gap:16px;background:#777">${shots.map((one) => `<img src="data:image/png;base64,${one}">`).join('')}`,
    );
    await board.waitForTimeout(300);
    await board.screenshot({ path: `${OUT}/palettes.png` });
    await other.close();
  };

  const take = async (screen, viewport, name, open = async () => undefined) => {
    const other = await browser.newContext({ viewport, hasTouch: viewport === PHONE, storageState: cookies });
    const view = await other.newPage();
    await view.goto(`${base}/#/${screen}`);
    // Long enough for fades and for the first pictures of the room.
    await view.waitForTimeout(4500);
    await open(view);
    await view.screenshot({ path: `${OUT}/${name}.png` });
    await other.close();
  };
  await take('tonight', PHONE, 'tonight-phone');
  await take('tonight', LAPTOP, 'tonight-laptop');
  await palettes(cookies);
  await take('wire', PHONE, 'wire-phone');
  await take('wire', LAPTOP, 'wire-laptop');
  await take('node', PHONE, 'node-phone');
  await take('papers', LAPTOP, 'papers-laptop');
  const openDinner = async (view) => {
    await view.getByRole('link', { name: 'Dinner', exact: true }).click();
    await view.waitForTimeout(500);
  };
  await take('bench/looks', LAPTOP, 'bench-laptop', openDinner);
  await take('bench', PHONE, 'bench-phone');
  console.log(`Pictures are in ${OUT}`);
} finally {
  await browser.close();
  node.kill('SIGTERM');
  rmSync(folder, { recursive: true, force: true });
}

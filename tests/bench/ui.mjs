/**
 * Measures how a phone feels: `npm run bench:ui`. Debian's Chromium, its processor slowed down four times (Chrome DevTools Protocol,
 * Emulation.setCPUThrottlingRate), and the built node on the loopback. It judges nobody: the exit code says only whether it could measure.
 */

import { readFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import process from 'node:process';
import { chromium } from 'playwright-core';
import { fullShow } from '../helpers/full-show.mjs';
import { file, median, now, pause, quantile } from './common.mjs';
import { startNode } from './node.mjs';

const SLOWER = 4;
const TOUCHES = 15;
const STARTS = 5;
/** The aim for a finger's feedback, and for any one task: `screens.md`, and the W3C's Long Tasks API, which counts from 50 ms on. */
const AIM = 50;
const PHONE = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true };
const QUIET = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-sync',
];

const print = (text = '') => process.stdout.write(`${text}\n`);
const fixed = (value, digits = 0) => value.toFixed(digits);
function row(what, measured, aim = '', met = undefined) {
  print(`  ${what.padEnd(52)} ${measured.padStart(24)}  ${aim.padEnd(12)} ${met === undefined ? '' : met ? 'pass' : 'SHORT'}`);
}

/** A browser paired with the node as an operator's phone. */
async function paired(browser, { url, token }) {
  const ask = (path, body, headers = {}) =>
    fetch(`${url}/api/${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...headers },
      body: JSON.stringify(body),
    });
  const { code } = await (
    await ask('local/machine/invitations', { role: 'operator' }, { authorization: `Bearer ${token}` })
  ).json();
  const cookie = (await ask('pair', { code, name: 'Bench' })).headers.get('set-cookie')?.split(';')[0] ?? '';
  const context = await browser.newContext(PHONE);
  const [name, value] = cookie.split('=');
  await context.addCookies([{ name, value, url, httpOnly: true, sameSite: 'Strict' }]);
  return context;
}

async function slow(page) {
  const tools = await page.context().newCDPSession(page);
  await tools.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
  return tools;
}

/**
 * From the finger's way down, by the event's own time, to the end of the first picture in which the button looks pressed: a task that is
 * queued while that picture is made runs when it has been. Milliseconds.
 */
const listen = () => {
  globalThis.felt = [];
  addEventListener(
    'pointerdown',
    ({ timeStamp, target }) => {
      const button = target instanceof Element ? target.closest('button') : null;
      if (button === null) return;
      const isPressed = () => button.matches('[data-pressed], [data-phase="pressing"], [data-held="true"], :active');
      const look = () => {
        if (!isPressed()) return void requestAnimationFrame(look);
        const drawn = new MessageChannel();
        drawn.port1.onmessage = () => globalThis.felt.push(performance.now() - timeStamp);
        drawn.port2.postMessage(0);
      };
      requestAnimationFrame(look);
    },
    { capture: true, passive: true },
  );
};

/** Touches in the middle of what `selector` finds first, as a finger of 90 ms does. */
async function touch(tools, page, selector) {
  const box = await page.locator(selector).first().boundingBox();
  if (box === null) throw new Error(`${selector} is not on the screen`);
  const touchPoints = [{ x: box.x + box.width / 2, y: box.y + box.height / 2 }];
  await tools.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints });
  await pause(90);
  await tools.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
}

/** What was felt of so many touches, in milliseconds. */
async function feltOf(tools, page, name, selector) {
  await page.evaluate('felt.length = 0');
  for (let i = 0; i < TOUCHES; i++) {
    await touch(tools, page, selector);
    await pause(450 + 100 * Math.random());
  }
  await pause(500);
  const felt = await page.evaluate('felt');
  if (felt.length === 0) throw new Error(`${name}: no feedback was seen`);
  return felt;
}

/** The same on a page that is one button and nothing else: what this machine takes at least, in this very run. */
async function bare(browser) {
  const context = await browser.newContext(PHONE);
  const page = await context.newPage();
  await page.setContent(
    `<style>button { width: 300px; height: 80px } [data-pressed] { background: #333 }</style><button>One</button>
     <script>document.querySelector('button').onpointerdown = ({ target }) => target.setAttribute('data-pressed', '');
     onpointerup = onpointercancel = () => document.querySelector('button').removeAttribute('data-pressed');</script>`,
  );
  const tools = await slow(page);
  await page.evaluate(listen);
  const felt = await feltOf(tools, page, 'bare', 'button');
  await context.close();
  return felt;
}

async function feedback(browser, access, targets) {
  const context = await paired(browser, access);
  const page = await context.newPage();
  const least = median(await bare(browser));
  row('a page of one button, for comparison: median', `${fixed(least)} ms`);
  await page.goto(access.url);
  await page.locator('.page:not([inert]) [data-button]').first().waitFor();
  const tools = await slow(page);
  await page.evaluate(listen);
  await pause(1500);
  for (const [name, selector] of targets) {
    const felt = await feltOf(tools, page, name, selector);
    const middle = median(felt);
    row(`${name}: median`, `${fixed(middle)} ms`, `at most ${AIM}`, middle <= AIM);
    row('  p90, worst, touches', `${fixed(quantile(felt, 0.9))} / ${fixed(Math.max(...felt))} ms, ${felt.length}`);
    row('  beside the page of one button', `${fixed(middle / least, 1)} times`);
  }
  // What the room costs while it moves: pictures, and the main thread's share of the time.
  const cost = async () => {
    const { metrics } = await tools.send('Performance.getMetrics');
    return Object.fromEntries(metrics.map(({ name, value }) => [name, value]));
  };
  await tools.send('Performance.enable');
  const [before, from] = [await cost(), now()];
  const frames = await page.evaluate(
    () =>
      new Promise((done) => {
        let count = 0;
        const end = performance.now() + 5000;
        const each = () => {
          count++;
          if (performance.now() < end) requestAnimationFrame(each);
          else done(count / 5);
        };
        requestAnimationFrame(each);
      }),
  );
  const after = await cost();
  const share = (after.TaskDuration - before.TaskDuration) / ((now() - from) / 1000);
  row('while the light moves: pictures of the page', `${fixed(frames)} a second`, 'at least 20', frames >= 20);
  row('  main thread busy', `${fixed(100 * share)} %`);
  await context.close();
}

async function start(browser, access) {
  const context = await paired(browser, access);
  const times = { words: [], buttons: [], longest: [], long: [], bytes: [] };
  for (let i = 0; i < STARTS; i++) {
    const page = await context.newPage();
    await slow(page);
    await page.addInitScript(() => {
      globalThis.tasks = [];
      new PerformanceObserver((list) => globalThis.tasks.push(...list.getEntries().map(({ duration }) => duration))).observe({
        type: 'longtask',
        buffered: true,
      });
      const seen = {};
      const look = () => {
        if (document.querySelector('.what > summary') && seen.words === undefined) seen.words = performance.now();
        if (document.querySelector('.page:not([inert]) [data-button][aria-disabled="false"]')) seen.buttons = performance.now();
        if (seen.buttons === undefined) requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
      globalThis.seenAt = seen;
    });
    await page.goto(access.url);
    await page.waitForFunction(() => globalThis.seenAt.buttons !== undefined);
    await pause(2500);
    const { seenAt, tasks, bytes } = await page.evaluate(() => ({
      seenAt: globalThis.seenAt,
      tasks: globalThis.tasks,
      bytes: performance
        .getEntries()
        .filter(({ entryType }) => entryType === 'resource' || entryType === 'navigation')
        .reduce((sum, { transferSize }) => sum + transferSize, 0),
    }));
    times.words.push(seenAt.words ?? Number.NaN);
    times.buttons.push(seenAt.buttons);
    times.longest.push(Math.max(0, ...tasks));
    times.long.push(tasks.length);
    if (i === 0) times.bytes.push(bytes);
    await page.close();
  }
  row('address opened to buttons that can be pressed: median', `${fixed(median(times.buttons))} ms`);
  row('  worst; the first of them, over the network', `${fixed(Math.max(...times.buttons))}; ${fixed(times.bytes[0] / 1024)} kB`);
  const longest = median(times.longest);
  row(
    'longest task of a start: median of the longest',
    longest === 0 ? 'none over 50 ms' : `${fixed(longest)} ms`,
    `at most ${AIM}`,
    longest <= AIM,
  );
  row('  tasks over 50 ms a start', times.long.join(', '));
  await context.close();
}

const begun = now();
print(
  `Chromium slowed down ${SLOWER} times, 390×844, load of the machine ${fixed(loadavg()[0], 1)} on ${cpus().length} processors`,
);
if (loadavg()[0] > 1) print('The machine is busy with other things: everything here will be worse than it need be.');
const sink = [{ id: 'loop', protocol: 'sacn', to: ['127.0.0.1'], interface: 'lo' }];
const demo = JSON.parse(readFileSync(file('../../shows/barn-wedding.json'), 'utf8'));
const everywhere = [
  ['Blackout', '.blackout'],
  ['Lights up', '.everything'],
  ['the name of the moment', '.moment-name'],
];
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: QUIET });
try {
  for (const [name, show, targets] of [
    ['The demo show', demo, [['a button of the show', '.page:not([inert]) .show-button'], ...everywhere]],
    [
      '60 buttons, 80 lights',
      fullShow,
      [['a button of the show', '.page:not([inert]) .show-button'], ['a hit', '.page:not([inert]) .hold-button'], ...everywhere],
    ],
  ]) {
    const node = await startNode(show, sink);
    try {
      const access = await node.access();
      print(`\n${name}: from a touch to the picture in which it shows`);
      await feedback(browser, access, targets);
      print(`\n${name}: a start`);
      await start(browser, access);
    } finally {
      await node.stop();
    }
  }
} finally {
  await browser.close();
}
print(`\nMeasured in ${fixed((now() - begun) / 1000)} s.`);

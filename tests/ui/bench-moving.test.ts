import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { placeLamps } from '../../ui/src/room/lamps.ts';
import { HEIGHT, WIDTH } from '../../ui/src/room/shape.ts';
import { LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { findings, misplaced, tooSmall } from '../helpers/look-over.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { Listener } from '../system/listener.ts';

/** Chases, movements, hits, buttons and moments made on the bench, on a real node: what is made there is at the wire and on Tonight. */
const show = {
  format: 'duskhand-show',
  version: 4,
  id: 'small-hall',
  name: 'Small hall',
  theme: { name: 'Rose', colours: [{ id: 'rose', name: 'Rose', value: '#ff0000' }] },
  fixtures: [
    { id: 'par', name: 'Par', type: 'rgb-par', mode: '3ch', universe: 1, address: 1, use: 'uplight' },
    { id: 'other', name: 'Other', type: 'rgb-par', mode: '3ch', universe: 1, address: 11, use: 'uplight' },
    { id: 'beam', name: 'Beam', type: 'beam-head', mode: '12ch', universe: 1, address: 21, use: 'beam' },
  ],
  looks: [
    { id: 'glow', name: 'Glow', fade: 0, parts: [{ who: [{ fixture: 'par' }], level: 1, colour: 'theme:rose' }] },
    { id: 'calm', name: 'Calm', fade: 0, parts: [{ who: [{ fixture: 'other' }], level: 1, colour: 'theme:rose' }] },
  ],
  buttons: [
    { id: 'glow', name: 'Glow', starts: [{ look: 'glow' }] },
    { id: 'calm', name: 'Calm', starts: [{ look: 'calm' }] },
  ],
};
interface StoredPart {
  readonly who: readonly object[];
  readonly zoom?: number;
  readonly strobe?: number;
}
type Stored = Readonly<Record<string, readonly Readonly<Record<string, unknown>>[]>>;
interface StoredStep {
  readonly length: object;
  readonly fade: number;
  readonly parts: readonly StoredPart[];
}
const partOf = (list: Stored[string] | undefined): StoredPart | undefined => (list?.[0]?.parts as StoredPart[] | undefined)?.[0];
const stepsOf = ({ chases }: Stored) => chases?.[0]?.steps as StoredStep[] | undefined;

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

const slots = (from: number): string => [...(wire.latest(1, 32) ?? [])].slice(from - 1, from + 2).join(' ');
const become = (what: string, holds: () => boolean) => until(what, () => holds() || undefined);
const stored = async (): Promise<Stored> => (await (await node.ask('show')).json()) as Stored;
const becomeStored = (what: string, holds: (now: Stored) => boolean) => until(what, async () => holds(await stored()) || undefined);

async function bench(at: string, viewport = PHONE): Promise<Page> {
  const { page } = await pairedPage(browser, node, { viewport });
  await page.goto(`${node.file.url}/#/bench${at}`);
  await page.locator('.bench').waitFor();
  return page;
}
const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name, exact: typeof name === 'string' });

/** Of the step that is open: one lamp alone, in full light of the theme. */
async function lightOnly(page: Page, lamp: string): Promise<void> {
  await button(page, 'Other lights').click();
  await page.getByRole('checkbox', { name: 'All lights' }).uncheck();
  await page.getByRole('checkbox', { name: lamp, exact: true }).check();
  await page.getByRole('slider', { name: /^Light/ }).fill('100');
  await page.getByRole('checkbox', { name: 'Rose' }).check();
}

describe('A chase', () => {
  test('is made from an empty list, step by step, and runs at the wire', async () => {
    const page = await bench('/chases');
    await page.getByText('There is none yet. A chase goes round').waitFor();
    await button(page, 'Make a new chase').click();
    await page.getByRole('heading', { name: 'New chase' }).waitFor();
    await page.getByLabel('Name').fill('Walls run');
    await lightOnly(page, 'Par');
    await page.getByLabel('Lasts').fill('1 1/2 beats');
    await page.getByLabel('Fades over its first').fill('0 %');
    await button(page, /^Step 2,/).click();
    await page.getByRole('heading', { name: 'Step 2 of 2' }).waitFor();
    await lightOnly(page, 'Other');
    await page.getByLabel('Lasts').fill('1,5');
    await page.getByLabel('Fades over its first').fill('0');
    await page.getByLabel('Fades over its first').blur();
    await becomeStored('chase', (now) => {
      const steps = stepsOf(now);
      return (
        JSON.stringify(steps?.map(({ length, fade, parts }) => [length, fade, parts.length, parts[0]?.who])) ===
        JSON.stringify([
          [{ beats: 1.5 }, 0, 1, [{ fixture: 'par' }]],
          [{ beats: 1.5 }, 0, 1, [{ fixture: 'other' }]],
        ])
      );
    });
    await button(page, 'Give it a button').click();
    await button(page, 'Press its button').click();
    for (let round = 0; round < 2; round++) {
      await become('the first step', () => slots(1) === '255 0 0' && slots(11) === '0 0 0');
      await become('the second step', () => slots(1) === '0 0 0' && slots(11) === '255 0 0');
    }
    await button(page, 'Let it go').click();
    await become('dark', () => slots(1) === '0 0 0' && slots(11) === '0 0 0');
  });

  test('is pulled longer at the end of a step, turned round, mirrored and counted in seconds, and each of these is taken back', async () => {
    const page = await bench('/chases', LAPTOP);
    await button(page, 'Make a new chase').click();
    const grip = page.getByRole('slider', { name: 'Length of step 1' });
    await grip.waitFor();
    const lengths = (now: Stored) => JSON.stringify(stepsOf(now)?.map(({ length }) => length));
    await grip.scrollIntoViewIfNeeded();
    const box = await grip.boundingBox();
    const face = await page.locator('.steps li').first().boundingBox();
    if (box === null || face === null) throw new Error('nothing to pull');
    // A quarter of the step further: from four beats to five.
    await page.mouse.move(box.x + 24, box.y + 24);
    await page.mouse.down();
    await page.mouse.move(box.x + 24 + face.width / 8, box.y + 24);
    await page.mouse.move(box.x + 24 + face.width / 4, box.y + 24);
    await page.mouse.up();
    await becomeStored('five beats', (now) => lengths(now) === '[{"beats":5},{"beats":4}]');
    await grip.focus();
    await page.keyboard.press('ArrowLeft');
    await becomeStored('a quarter less', (now) => lengths(now) === '[{"beats":4.75},{"beats":4}]');
    await button(page, 'Run it backwards').click();
    await becomeStored('turned round', (now) => lengths(now) === '[{"beats":4},{"beats":4.75}]');
    await page.getByRole('radio', { name: 'Seconds, by the clock' }).check();
    await becomeStored('seconds at 120 beats a minute', (now) => lengths(now) === '[{"seconds":2},{"seconds":2.375}]');
    await button(page, 'Step 1 later').click();
    await becomeStored('changed places', (now) => lengths(now) === '[{"seconds":2.375},{"seconds":2}]');
    await button(page, /^Take back/).click();
    await button(page, /^Take back/).click();
    await becomeStored('beats again', (now) => lengths(now) === '[{"beats":4},{"beats":4.75}]');
    await page.getByLabel('Lasts').fill('2 s');
    await page.getByText('this chase counts beats').waitFor();
    await page.getByLabel('Lasts').blur();
    expect(await page.getByLabel('Lasts').inputValue()).toBe('2 s');
    await page.getByText(/It is still \d.* beats\./).waitFor();
  });
});

test('A movement is made, and its heads turn at the wire', async () => {
  const page = await bench('/movements');
  await button(page, 'Make a new movement').click();
  await page.getByRole('heading', { name: 'All beams' }).waitFor();
  await page.getByRole('radio', { name: 'Sweep' }).check();
  await page.getByLabel('Pan from the centre').fill('60 deg');
  await page.getByLabel('Once round in').fill('1 beat');
  await page.getByText('Sweep, 60° pan').first().waitFor();
  await button(page, 'Give it a button').click();
  await button(page, 'Press its button').click();
  const seen = new Set<string>();
  await become('many places', () => seen.add(slots(21)).size > 10);
});

describe('A hit', () => {
  test('is made, lights for as long as it is held, and lets go with the finger', async () => {
    const page = await bench('/hits');
    await button(page, 'Make a new hit').click();
    await page.getByLabel('Goes over').fill('0');
    await page.getByLabel('Goes over').blur();
    await page.getByRole('checkbox', { name: 'Rose' }).check();
    await button(page, 'Give it a button').click();
    const hold = page.locator('.hold-button');
    await hold.waitFor();
    const box = await hold.boundingBox();
    if (box === null) throw new Error('nothing to hold');
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await become('lit', () => slots(1) === '255 0 0' && slots(11) === '255 0 0');
    await page.mouse.up();
    await become('dark', () => slots(1) === '0 0 0' && slots(11) === '0 0 0');
  });

  test('that strobes has the caution beside it', async () => {
    const page = await bench('/hits');
    await button(page, 'Make a new hit').click();
    await button(page, 'Strobe').click();
    await page.getByText('Flashing light can bring on seizures').first().waitFor();
    await page.getByLabel('Strobe', { exact: true }).fill('2,5 Hz');
    await becomeStored('strobe', ({ hits }) => partOf(hits)?.strobe === 2.5);
  });
});

describe('Lights of a look', () => {
  test('are added and taken out by a touch on them in the picture of the room', async () => {
    const page = await bench('/looks/glow');
    const room = page.locator('.bench-picture .room');
    await page.locator('.chosen-lamps circle').first().waitFor();
    const lamps = placeLamps(show.fixtures.map(({ use }) => ({ use })));
    const touch = async (at: number) => {
      const box = await room.boundingBox();
      const lamp = lamps[at];
      if (box === null || lamp === undefined) throw new Error('no lamp');
      await page.mouse.click(box.x + (lamp.x * box.width) / WIDTH, box.y + (lamp.y * box.height) / HEIGHT);
    };
    const who = ({ looks }: Stored) => JSON.stringify(partOf(looks)?.who);
    await touch(1);
    await becomeStored('one more', (now) => who(now) === '[{"fixture":"par"},{"fixture":"other"}]');
    await page.getByText('Other added').waitFor({ state: 'attached' });
    await touch(0);
    await becomeStored('one less', (now) => who(now) === '[{"fixture":"other"}]');
    expect(await page.locator('.chosen-lamps circle').count()).toBe(1);
  });

  test('have no fields for what they cannot do', async () => {
    const page = await bench('/looks/glow');
    await page.getByRole('slider', { name: /^Light/ }).waitFor();
    for (const name of ['Zoom', 'Gobo', 'Aim', 'Haze']) expect(await button(page, name).count()).toBe(0);
    await button(page, 'Other lights').click();
    await page.getByRole('checkbox', { name: 'All beams' }).check();
    await button(page, 'Zoom').click();
    await page.getByLabel('Zoom', { exact: true }).fill('80');
    await page.getByText('Degrees from 4° to 45°.').waitFor();
    await page.getByLabel('Zoom', { exact: true }).fill('20 degrees');
    await becomeStored('zoom', ({ looks }) => partOf(looks)?.zoom === 20);
    await button(page, 'Zoom as below it').click();
    await becomeStored('none', ({ looks }) => partOf(looks)?.zoom === undefined);
  });

  test('have a level that is pulled or written, and may be left to what plays below', async () => {
    const page = await bench('/looks/glow');
    const level = ({ looks }: Stored) => (partOf(looks) as { level?: number } | undefined)?.level;
    await page.getByLabel('Light, written').fill('1/2');
    await becomeStored('half', (now) => level(now) === 0.5);
    await page.getByLabel('Light, written').fill('12,5 %');
    await becomeStored('an eighth', (now) => level(now) === 0.125);
    await page.getByLabel('Light, written').fill('bright');
    await page.getByText('A share such as 50 % or 1/2, 100 % at most.').waitFor();
    await button(page, 'Light as below it').click();
    await becomeStored('none', (now) => level(now) === undefined);
    expect(await page.getByRole('slider', { name: /^Light/ }).getAttribute('aria-valuetext')).toBe('as below');
  });

  test('What makes no sense stays where it was typed, and it is said what stands there instead', async () => {
    const page = await bench('/looks/glow');
    await page.getByLabel('Comes in over').fill('a while');
    await page.getByLabel('Name').focus();
    await page.getByText('A time such as 2, 2.5 s or 1 min. It is still 0 s.').waitFor();
    expect(await page.getByLabel('Comes in over').inputValue()).toBe('a while');
    await page.getByLabel('Comes in over').fill('1/2 s');
    await becomeStored('half a second', ({ looks }) => looks?.[0]?.fade === 0.5);
  });
});

test('A look that is on says so in the list; taken out it goes with its button, which is said, and comes back in one step', async () => {
  await node.command({ do: 'press', button: 'glow' });
  await become('lit', () => slots(1) === '255 0 0');
  const page = await bench('/looks');
  await page.getByRole('link', { name: /Glow\s*on/ }).click();
  await page.getByText('If it is taken out, the button Glow, with nothing else to start, goes too.').waitFor();
  await button(page, 'Take out Glow').click();
  await page.getByText('Glow is taken out: the button Glow, with nothing else to start, goes too.').waitFor();
  await becomeStored('gone', ({ looks, buttons }) => looks?.length === 1 && buttons?.length === 1);
  await button(page, /^Take back/).click();
  await becomeStored('back', ({ looks, buttons }) => looks?.length === 2 && buttons?.length === 2);
});

describe('The evening', () => {
  test('has its buttons in the order that they are given, here and on Tonight', async () => {
    const page = await bench('/evening', LAPTOP);
    const { page: phone } = await pairedPage(browser, node);
    const order = (on: Page, within: string) =>
      on.locator(`${within} [data-button]`).evaluateAll((all) => all.map((one) => one.getAttribute('data-button')).join(' '));
    expect(await order(phone, '.page:not([inert])')).toBe('glow calm');
    await button(page, 'Put buttons in order').click();
    await button(page, 'Calm earlier').click();
    await until('the order on Tonight', async () => (await order(phone, '.page:not([inert])')) === 'calm glow' || undefined);
    expect(await order(page, '.evening-screen')).toBe('calm glow');
    // The focus has gone along, to what can still be done with it.
    await until(
      'the focus',
      async () => (await button(page, 'Calm later').evaluate((one) => one === document.activeElement)) || undefined,
    );
    await page.keyboard.press('Enter');
    await until('the order as it was', async () => (await order(phone, '.page:not([inert])')) === 'glow calm' || undefined);
  });

  test('proposes the line under a button, and writes over none', async () => {
    const page = await bench('/evening/button:glow');
    await page.getByText('Starts Glow.').waitFor();
    await page.getByText('From what it starts: “Par rose”').waitFor();
    await button(page, 'Use this line').click();
    await becomeStored('line', ({ buttons }) => buttons?.[0]?.line === 'Par rose');
    await page.getByLabel(/^The line under it/).fill('One red corner');
    await becomeStored('own line', ({ buttons }) => buttons?.[0]?.line === 'One red corner');
    await button(page, 'Choose: starts').click();
    await page.getByRole('checkbox', { name: 'Calm' }).check();
    await page.getByText('Starts Glow and Calm.').waitFor();
    await becomeStored('two looks', ({ buttons }) => JSON.stringify(buttons?.[0]?.starts) === '[{"look":"glow"},{"look":"calm"}]');
    expect((await stored()).buttons?.[0]?.line).toBe('One red corner');
  });

  test('has moments with a time as people write it, and their buttons in order', async () => {
    const page = await bench('/evening');
    await button(page, 'Make a new moment').click();
    await page.getByLabel('Name').fill('First dance');
    await page.getByLabel('Time of day').fill('9:30 pm');
    await button(page, 'Choose buttons').click();
    await page.getByRole('checkbox', { name: 'Glow' }).check();
    await page.getByRole('checkbox', { name: 'Calm' }).check();
    await button(page, 'Calm earlier').click();
    await becomeStored('moment', ({ moments }) => {
      const { name, at, buttons } = moments?.[0] ?? {};
      return name === 'First dance' && at === '21:30' && JSON.stringify(buttons) === '["calm","glow"]';
    });
    // The page has it too: what it clears is what it has seen.
    await until('the time on the page', async () => (await page.getByLabel('Time of day').inputValue()) !== '' || undefined);
    await page.getByLabel('Time of day').fill('');
    await becomeStored('no time', ({ moments }) => moments?.[0]?.at === undefined);
  });

  test('a button that starts nothing is said, and the word leads to it', async () => {
    const page = await bench('/evening/button:glow');
    await button(page, 'Take out Glow').first().click();
    await page.getByText('Not playable yet').waitFor();
    await page.evaluate(() => location.assign('#/bench'));
    await page.getByRole('link', { name: '“Glow” starts nothing yet: choose what it starts' }).click();
    await page.getByText('Starts nothing yet.').waitFor();
  });
});

describe.each([
  ['a phone', PHONE],
  ['a laptop', LAPTOP],
])('On %s the pages', (_what, viewport) => {
  test('have no findings, no small targets and nothing cut', { timeout: 120_000 }, async () => {
    const barn = await NodeProcess.start({ show: 'shows/barn-wedding.json', sacn: '127.0.0.1' });
    const { page } = await pairedPage(browser, barn, { viewport });
    const look = async (at: string, make?: () => Promise<unknown>) => {
      await page.goto(`${barn.file.url}/#/bench${at}`);
      await page.locator('.bench-page h1').waitFor();
      await make?.();
      expect({ at, found: await findings(page) }).toEqual({ at, found: [] });
      expect({ at, small: await tooSmall(page) }).toEqual({ at, small: [] });
      expect({ at, misplaced: await misplaced(page) }).toEqual({ at, misplaced: [] });
    };
    await look('/looks', () => button(page, 'Put looks in order').click());
    await look('/looks/dance-floor', async () => {
      await page.locator('.part-head').nth(1).click();
      await button(page, 'Other lights').click();
    });
    await look('/chases');
    await look('/chases/walls-roll');
    await look('/movements');
    await look('/movements/beams-circle');
    await look('/hits');
    await look('/hits/white-hit', () => page.locator('.part-head').first().click());
    await look('/evening');
    await look('/evening/button:dance-floor', () => button(page, 'Choose: starts').click());
    await look('/evening/moment:arrival', () => button(page, 'Choose buttons').click());
  });
});

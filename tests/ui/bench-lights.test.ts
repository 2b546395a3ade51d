import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { AskedChange } from '../../node/show/change.ts';
import { Cable, LAPTOP, openBrowser, PHONE, pairedPage } from '../helpers/browser.ts';
import { fullShow } from '../helpers/full-show.mjs';
import { findings, misplaced, tooSmall } from '../helpers/look-over.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { description, gdtf, plain } from '../rig/gdtf/made-file.ts';
import { Listener } from '../system/listener.ts';

/** The page of lights in a real browser, on a real node: a rig is made there without a file or a terminal, and is at the wire. */
interface Fixture {
  readonly id: string;
  readonly name: string;
  readonly type: string;
  readonly universe?: number;
  readonly address?: number;
}
interface Document {
  readonly fixtures: readonly Fixture[];
  readonly fixtureTypes: readonly { readonly id: string; readonly modes: readonly { readonly channels: readonly object[] }[] }[];
  readonly groups: readonly { readonly id: string; readonly name: string; readonly fixtures: readonly string[] }[];
  readonly looks: readonly { readonly id: string; readonly parts: readonly object[] }[];
  readonly buttons: readonly object[];
}

const small = {
  format: 'duskhand-show',
  version: 4,
  id: 'small-hall',
  name: 'Small hall',
  theme: { name: 'Rose', colours: [{ id: 'rose', name: 'Rose', value: '#ff0000' }] },
  fixtures: [
    { id: 'par', name: 'Par', type: 'rgb-par', mode: '3ch', universe: 1, address: 1, use: 'uplight' },
    { id: 'other', name: 'Other', type: 'rgb-par', mode: '3ch', universe: 1, address: 11, use: 'totem' },
  ],
  groups: [{ id: 'all', name: 'Everything', fixtures: ['par', 'other'] }],
  looks: [
    {
      id: 'glow',
      name: 'Glow',
      fade: 0,
      parts: [
        { who: [{ use: 'uplight' }], level: 1, colour: 'theme:rose' },
        { who: [{ fixture: 'other' }], level: 1 },
      ],
    },
  ],
  buttons: [{ id: 'glow', name: 'Glow', starts: [{ look: 'glow' }] }],
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
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
  wire.close();
});

const start = async (show: object): Promise<void> => {
  node = await NodeProcess.start({ show, sacn: wire.address });
};
const written = async (): Promise<Document> => (await (await node.ask('show')).json()) as Document;

/** Takes everything out of the show that plays, as a person does who begins anew. */
async function empty(): Promise<void> {
  const show = (await written()) as unknown as Record<string, ({ id: string } & Record<string, unknown>)[]>;
  const lists = { buttons: 'button', looks: 'look', groups: 'group', fixtures: 'fixture' } as const;
  const changes = Object.entries(lists).flatMap(([list, kind]) =>
    (show[list] ?? []).map((was): AskedChange => ({ do: 'drop', kind, id: was.id, was })),
  );
  const answer = await node.ask('show/edit', { method: 'POST', body: JSON.stringify({ editId: 'all-of-it-out', changes }) });
  expect(answer.status).toBe(200);
}

async function lights(at = '', options: Parameters<typeof pairedPage>[2] = {}): Promise<Page> {
  const { page } = await pairedPage(browser, node, options);
  await page.goto(`${options?.url ?? node.file.url}/#/bench/lights${at}`);
  await page.locator('.lights').waitFor();
  return page;
}
const field = (page: Page, label: string) => page.getByLabel(label, { exact: true }).first();
const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first().click();
const slots = (from: number, count: number, universe = 1): string =>
  [...(wire.latest(universe, 512) ?? [])].slice(from - 1, from - 1 + count).join(' ');

/** Finds a kind of lamp and says how many. */
async function addLights(page: Page, what: string, mode: RegExp, count: string): Promise<void> {
  await page.getByRole('searchbox').fill(what);
  await press(page, mode);
  await field(page, 'How many').fill(count);
}

describe('On an empty show', () => {
  test.each([
    ['a phone', PHONE],
    ['a laptop', LAPTOP],
  ])('%s makes a rig of twelve uplights, a look and its button, and the bytes are at the wire', async (_what, viewport) => {
    await start(small);
    await empty();
    const page = await lights('', { viewport });
    await page.getByText('There is no light in this show yet').waitFor();
    await page.getByRole('link', { name: 'Add lights' }).click();
    await addLights(page, 'uplight 7', /Battery uplight.*: 7 channels/, '12');
    await page.getByText('“Uplight 1” to “Uplight 12”: universe 1, slots 1 to 84.').waitFor();
    await press(page, 'Add 12 lights');
    await page.getByText('“Uplight 1” to “Uplight 12” are in.').waitFor();
    const { fixtures } = await written();
    expect(fixtures.map(({ name, universe, address }) => `${name} ${universe}.${address}`)).toEqual(
      Array.from({ length: 12 }, (_, i) => `Uplight ${i + 1} 1.${1 + i * 7}`),
    );
    // One step is all of them.
    await press(page, /^Take back/);
    await page.getByText('There is no light in this show yet').waitFor();
    await press(page, /^Bring back/);
    await page.getByRole('link', { name: 'Uplight 12' }).waitFor();

    await page.getByRole('link', { name: 'Make a look' }).click();
    await press(page, 'Make a new look');
    await press(page, 'Give it a button');
    await page.getByRole('slider').first().fill('100');
    await page.getByRole('checkbox', { name: 'Rose' }).check();
    await press(page, 'Press its button');
    // Dimmer and red of each, by the layout of seven channels: dimmer, red, green, blue, white, amber, UV.
    await until('red at the wire', () => slots(1, 7) === '255 255 0 0 0 0 0' || undefined);
    expect(slots(78, 7)).toBe('255 255 0 0 0 0 0');
    expect(slots(85, 4)).toBe('0 0 0 0');
  });
});

describe('Lights that are there', () => {
  test('are moved together, and what clashes is said on the light and mended by one press', async () => {
    await start(small);
    const page = await lights();
    await page.getByRole('link', { name: /^Other/ }).click();
    await field(page, 'First slot').fill('2');
    await page.locator('.lights .trouble').getByText('"Other" and "Par" both want slot 2 of universe 1').waitFor();
    await page.goto(`${node.file.url}/#/bench/lights`);
    await until(
      'both to say so',
      async () => (await page.locator('.lights-list .amiss').getByText('both want slot 2').count()) === 2 || undefined,
    );
    await press(page, 'Give them free addresses');
    await page.getByText('1 light got a free address').waitFor();
    expect((await written()).fixtures.map(({ address }) => address)).toEqual([1, 4]);

    await press(page, 'Choose all');
    await page.getByRole('link', { name: 'Change the 2 chosen lights' }).click();
    await field(page, 'From universe').fill('2');
    await press(page, 'Move them there');
    await page.getByText('Moved.').waitFor();
    expect((await written()).fixtures.map(({ universe, address }) => `${universe}.${address}`)).toEqual(['2.1', '2.4']);
    await node.command({ do: 'press', button: 'glow' });
    await until('red at the other universe', () => slots(1, 3, 2) === '255 0 0' || undefined);
  });

  test('are taken out with every word about them, which is said before, and one step brings all of it back', async () => {
    await start(small);
    const before = await written();
    const page = await lights('/light/other');
    await page.getByText('“Everything” and “Glow” speak of it; those go on without.').waitFor();
    await press(page, 'Take out Other');
    await page.getByText('“Other” is taken out').waitFor();
    const after = await written();
    expect(after.fixtures.map(({ id }) => id)).toEqual(['par']);
    expect(after.groups[0]?.fixtures).toEqual(['par']);
    expect(after.looks[0]?.parts).toHaveLength(1);
    expect(await page.getByText('Not playable yet').count()).toBe(0);
    await press(page, /^Take back/);
    await page.getByRole('link', { name: /^Other/ }).waitFor();
    expect(await written()).toEqual(before);
  });

  test('are taken out eighty at once, with all that speaks of them, and brought back by one step', async () => {
    await start(fullShow);
    const before = await written();
    const page = await lights();
    await press(page, 'Choose all');
    await page.getByRole('link', { name: 'Change the 80 chosen lights' }).click();
    await page.getByText(/“Columns 1 and the one opposite” and 13 more groups/).waitFor();
    await press(page, 'Take out 80 lights');
    await page.getByText('There is no light in this show yet').waitFor();
    expect((await written()).fixtures).toEqual([]);
    await press(page, /^Take back/);
    await page.getByText('80 lights', { exact: true }).waitFor();
    expect(await written()).toEqual(before);
  });

  test('are adjusted one by one, by the way they hang and by their wear', async () => {
    const head = { id: 'head', name: 'Head', type: 'wash-head', mode: '14ch', universe: 2, address: 1, use: 'dance wash' };
    await start({ ...small, fixtures: [...small.fixtures, head] });
    const page = await lights('/light/head');
    await page.getByText('Adjust this one lamp').click();
    await page.getByRole('checkbox', { name: /Its pan runs the other way/ }).check();
    await page.getByRole('checkbox', { name: /Its pan and tilt are swapped/ }).check();
    await field(page, 'Its tilt is kept within, in degrees').fill('−90 to 45');
    await page.getByRole('slider', { name: /^Most light that it gives/ }).fill('50');
    await page.getByRole('slider', { name: /^Green matches the others at/ }).fill('85');
    await field(page, 'How bright it is beside others of its kind').fill('120 %');
    await field(page, 'How its light follows its dimmer').selectOption({ label: 'Slowly at first (square)' });
    const stands = async () => (await written()).fixtures.find(({ id }) => id === 'head');
    const wanted = {
      invert: { pan: true, tilt: false },
      swapPanTilt: true,
      limits: { tilt: [-90, 45] },
      dim: 0.5,
      trim: { ColorAdd_G: 0.85 },
      strength: 1.2,
      dimming: 'square',
    };
    await until('all of it on the node', async () => ((await stands()) as { dimming?: string }).dimming === 'square' || undefined);
    expect(await stands()).toEqual({ ...head, ...wanted, order: expect.any(String) });
    // What is set back to what its kind does is no word any more.
    await press(page, 'No limit for tilt');
    await page.getByRole('slider', { name: /^Most light that it gives/ }).fill('100');
    await page.getByRole('checkbox', { name: /Its pan runs the other way/ }).uncheck();
    await until('set back', async () => {
      const { invert, dim, limits } = (await stands()) as { invert?: object; dim?: number; limits?: object };
      return (invert === undefined && dim === undefined && limits === undefined) || undefined;
    });
    expect(await page.getByRole('alert').count()).toBe(0);
  });

  test('are grouped, doubled and made another kind', async () => {
    await start(small);
    const page = await lights();
    await page.getByLabel('Choose Par').check();
    await page.getByRole('link', { name: 'Change the 1 chosen light' }).click();
    await press(page, 'Make a group of it');
    await page.getByRole('heading', { name: 'New group' }).waitFor();
    await field(page, 'Name').fill('North wall');
    await page.getByRole('checkbox', { name: /Other/ }).check();
    await until('the group', async () => {
      const group = (await written()).groups.find(({ name }) => name === 'North wall');
      return group?.fixtures.join() === 'par,other' || undefined;
    });
    await press(page, 'Take the group out');
    await page.getByText('The group “North wall” is taken out').waitFor();

    await page.getByRole('link', { name: /^Other/ }).click();
    await press(page, 'Another kind of lamp');
    await page.getByRole('searchbox').fill('par red green blue white 4');
    await press(page, /red green blue white: 4 channels/);
    await page.getByText('LED par, red green blue white; 4 channels').waitFor();
    await press(page, 'Make another like it');
    await page.getByRole('heading', { name: 'Other 1' }).waitFor();
    expect((await written()).fixtures.at(-1)).toMatchObject({ name: 'Other 1', type: 'rgbw-par', universe: 1, address: 4 });
  });
});

describe('A kind of lamp', () => {
  test('comes from a maker’s file, and says in words what it is and what was left out', async () => {
    await start(small);
    const page = await lights('/add');
    const moth = gdtf(description({ channels: plain('1', 'Dimmer') + plain('2', 'Control1') }));
    const give = (name: string, buffer: Buffer) =>
      page.getByLabel('GDTF file').setInputFiles({ name, mimeType: 'application/octet-stream', buffer });
    await give('broken.gdtf', Buffer.from('no archive'));
    await page.getByText(/broken\.gdtf: This is not a GDTF file, or it is damaged/).waitFor();
    // Dropped beside the field, it is taken all the same: the browser does not leave the page for it.
    await page.evaluate(() => {
      const dropped = new DataTransfer();
      dropped.items.add(new File(['nor this'], 'dropped.gdtf'));
      document.body.dispatchEvent(new DragEvent('drop', { dataTransfer: dropped, bubbles: true, cancelable: true }));
    });
    await page.getByText(/dropped\.gdtf: This is not a GDTF file, or it is damaged/).waitFor();
    // A channel that is lost to a mistake in the file is not hidden among what nobody misses.
    await give('slip.gdtf', gdtf(description({ channels: plain('1', 'Dimmer') + plain('1', 'ColorAdd_B') })));
    await page.getByText(/There seems to be a mistake in the file/).waitFor();
    await page.getByText(/"Body_ColorAdd_B" wants slot 1, but "Body_Dimmer" has that already/).waitFor();
    await give('moth.gdtf', moth);
    await page.getByText('1 mode: Basic, 2 channels').waitFor();
    expect(await page.getByText(/There seems to be a mistake in the file/).count()).toBe(0);
    await page.getByText(/things? in the file not used/).click();
    await page.getByText('Control1 is not used; its channel stays at rest').waitFor();
    await press(page, 'Add lights of this kind');
    await press(page, 'Add 1 light');
    await page.getByText(/is in\. Set each lamp/).waitFor();
    const { fixtures, fixtureTypes } = await written();
    expect(fixtures.at(-1)).toMatchObject({ type: 'invented-moth', universe: 1, address: 4 });
    expect(fixtureTypes.map(({ id }) => id)).toEqual(['invented-moth']);
  });

  test('is typed in as a table; a channel is tried on a real lamp and let go with the page; mistakes stand at the field', async () => {
    await start(small);
    const page = await lights('/add');
    await press(page, 'Type in a lamp of your own');
    await page.getByRole('heading', { name: 'Channels' }).waitFor();
    await field(page, 'Name').fill('Moth');
    await page.getByRole('heading', { name: 'Moth' }).waitFor();
    await page.getByLabel('The channels as the manual has them, one a line').fill('1 Dimmer\n2 Auto programs');
    await press(page, 'Make the table of it');
    await press(page, /Nothing that is used, “Auto programs”/);
    await field(page, 'What it does').selectOption({ label: 'Strobe' });
    await press(page, 'It does something else as well');
    await field(page, 'What it does, 2').waitFor();
    await field(page, 'From').fill('100');
    await page.getByLabel('To', { exact: true }).first().fill('50');
    await page.getByText('Ends before it begins, at 100.').waitFor();
    await page.getByLabel('To', { exact: true }).first().fill('127');
    await page.getByText('Ends before it begins').waitFor({ state: 'detached' });
    await page.getByText('Strobe 100–127, Nothing that is used 128–255').waitFor();
    await press(page, 'Add channel 3');
    await field(page, 'What it does').selectOption({ label: 'Pan' });
    await page.getByRole('checkbox', { name: '16 bit' }).check();
    await page.getByText('Finer part of 3, Pan').waitFor();
    await field(page, 'Pan turns by, in degrees').fill('630');
    await until('the table on the node', async () => {
      const [own] = (await written()).fixtureTypes;
      return JSON.stringify(own?.modes[0]?.channels.at(-1)).includes('-315') || undefined;
    });

    // The third slot of the lamp at 1.11 is its blue.
    await field(page, 'Lamp').selectOption({ label: 'Other, 1.11' });
    await page.getByRole('slider', { name: /^Try it: Pan at 1\.13/ }).fill('200');
    await until('the slot by hand', () => slots(13, 1) === '200' || undefined);
    await page.goto(`${node.file.url}/#/bench/lights`);
    await until('let go', () => slots(13, 1) === '0' || undefined);
  });

  test('that was typed in as a list is added as lights, which a look lights up by that list', async () => {
    await start(small);
    await node.command({ do: 'press', button: 'glow' });
    const page = await lights('/add');
    await press(page, 'On the lights');
    await press(page, 'Type in a lamp of your own');
    await field(page, 'Name').fill('Moth');
    await page
      .getByLabel('The channels as the manual has them, one a line')
      .fill('1 Auto programs\n2 Green\n3 Red\n4 Blue\n5 Dimmer\n6 Dimmer fine');
    await press(page, 'Make the table of it');
    await page.getByText('Finer part of 5, Dimmer').waitFor();
    await page.getByRole('link', { name: 'Add lights of this kind' }).click();
    await addLights(page, 'moth', /Moth: 6 channels/, '2');
    await field(page, 'From slot').fill('101');
    await press(page, 'Add 2 lights');
    // Red, by the look for uplights: its programs at rest, both bytes of its dimmer at full.
    await until('both lit', () => slots(101, 12) === '0 0 255 0 255 255 0 0 255 0 255 255' || undefined);
  });

  test('lets go of the lamp when the line to the node breaks', async () => {
    await start(small);
    const cable = await Cable.lay(node.file.url);
    try {
      const page = await lights('/add', { url: cable.url });
      await press(page, 'Type in a lamp of your own');
      await field(page, 'Lamp').selectOption({ label: 'Par, 1.1' });
      await page.locator('.lights-table button').first().click();
      await page.getByRole('slider', { name: /^Try it: Dimmer at 1\.1/ }).fill('90');
      await until('the slot by hand', () => slots(1, 1) === '90' || undefined);
      cable.cut();
      await until('let go', () => slots(1, 1) === '0' || undefined);
      await page.getByText('The line to the node broke, so everything was let go.').waitFor();
    } finally {
      cable.remove();
    }
  });
});

test.each([
  ['a phone', PHONE],
  ['a laptop', LAPTOP],
])('with eighty lights of long names, %s finds nothing cut, covered, too small or against the rules', async (_what, viewport) => {
  await start(fullShow);
  const page = await lights('', { viewport });
  const found: string[] = [];
  const look = async (at: string) => {
    for (const one of [...(await misplaced(page)), ...(await tooSmall(page)), ...(await findings(page))])
      found.push(`${at}: ${one}`);
  };
  await look('list');
  await press(page, 'Choose all');
  for (const at of ['chosen', 'light/f3', 'group/g3', 'add']) {
    await page.goto(`${node.file.url}/#/bench/lights/${at}`);
    await page.locator('.lights h1').waitFor();
    await page.waitForTimeout(300);
    if (at === 'light/f3') await page.getByText('Adjust this one lamp').click();
    await look(at);
  }
  await addLights(page, 'battery', /: 7 channels/, '12');
  await look('how many');
  await press(page, 'Another kind');
  await press(page, 'Type in a lamp of your own');
  await page.locator('.lights-table button').first().click();
  await look('own type');
  expect(found).toEqual([]);
});

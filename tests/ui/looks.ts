import type { Page } from 'playwright-core';
import type { ToRemote } from '../../node/api/contract.ts';
import { heldWords, sayHeld } from '../../node/api/held-words.ts';
import { troublesOf } from '../../node/api/troubles.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState } from '../../node/playback/reduce.ts';
import { emptyShow } from '../../node/show/empty.ts';
import type { Cable } from '../helpers/browser.ts';
import { fullShow } from '../helpers/full-show.mjs';
import type { NodeProcess } from '../helpers/node-process.ts';
import { guardsShow } from './guards-show.ts';
import { placedShow } from './placed-show.ts';

/** Where a state is looked at. `text`: how large letters are, as the reader has set it. */
export const places = [
  { name: 'phone', width: 390, height: 844, text: 1 },
  { name: 'small phone', width: 320, height: 640, text: 1 },
  { name: 'phone on its side', width: 844, height: 390, text: 1 },
  { name: 'large letters', width: 390, height: 844, text: 2 },
  { name: 'tablet', width: 820, height: 1180, text: 1 },
  { name: 'laptop', width: 1440, height: 900, text: 1 },
];
export type Place = (typeof places)[number];

export interface Look {
  readonly name: string;
  readonly show?: object;
  /** Outputs of the node; without them sACN to the loopback. */
  readonly outputs?: readonly object[];
  /** Comes without a touch on this phone, or by one press: nothing under a thumb may move. */
  readonly byItself?: boolean;
  /** Opens the place where it comes about, before anything is watched. */
  readonly open?: (page: Page) => Promise<unknown>;
  /** Brings the state about. */
  readonly make?: (page: Page, node: NodeProcess, cable: Cable) => Promise<unknown>;
  /** Looked at in every run, in the first of the places; the others by `npm run test:screens`. */
  readonly gate?: number;
}

const goTo = (page: Page, screen: string) => page.evaluate((name) => location.replace(`#/${name}`), screen);
async function toBench(page: Page): Promise<void> {
  await goTo(page, 'bench');
  await page.locator('.bench-contents').waitFor();
}
async function toLights(page: Page, within = ''): Promise<void> {
  await goTo(page, `bench/lights${within}`);
  await page.locator('.lights h1').waitFor();
}
/** A page of the bench, or a thing on it. */
async function toBenchPage(page: Page, at: string): Promise<void> {
  await goTo(page, `bench/${at}`);
  await page.locator('.bench-page h1').waitFor();
}
const more = (page: Page) => page.getByRole('button', { name: 'More', exact: true });

/** The second moment of the demo show, in which there is haze to press. */
async function turnToHaze(page: Page): Promise<void> {
  const next = page.locator('.moment-bar > .next');
  await ((await next.isVisible()) ? next : page.locator('.moment-list > button').nth(1)).click();
  await page.locator('.page:not([inert]) [data-button="haze"]').waitFor();
}

/** To the page the cable of every output is out, in the node's own words: a real one is pulled in `tests/system`. */
async function pullsTheCable(page: Page): Promise<void> {
  const floor = { id: 'floor', protocol: 'sacn', state: 'waiting', towards: 'eth0', packets: 1, dropped: 1 } as const;
  const [out] = troublesOf({ outputs: [{ ...floor, errors: [], universes: [] }], unsent: [] });
  await page.routeWebSocket(/\/ws$/, (line) => {
    line.connectToServer().onMessage((message) => {
      if (typeof message !== 'string') return line.send(message);
      const told = JSON.parse(message) as ToRemote;
      if (told.type === 'state') Object.assign(told.state, { troubles: [out] });
      if (told.type === 'seen') Object.assign(told, { sent: 'nowhere' });
      line.send(JSON.stringify(told));
    });
  });
  await page.reload();
  await page.locator('.tonight').waitFor();
}

const nothingPlays = freshState(compileShow(emptyShow('new', 'New')), 0);

/** To the page heads go to where they belong, in the node's own words: of a node that starts that is over before a page comes. */
async function goesHome(page: Page): Promise<void> {
  await page.routeWebSocket(/\/ws$/, (line) => {
    line.connectToServer().onMessage((message) => {
      if (typeof message !== 'string') return line.send(message);
      const told = JSON.parse(message) as ToRemote;
      const lights = ['Left head', 'Right head', 'Head over the bar'];
      if (told.type === 'seen') Object.assign(told, { held: [sayHeld(heldWords, 'homing', lights, nothingPlays)] });
      line.send(JSON.stringify(told));
    });
  });
  await page.reload();
  await page.locator('.tonight').waitFor();
}

/** To where crew, haze, lasers and flashes are decided: on a laptop it stands there already. */
async function toTheLights(page: Page): Promise<void> {
  if (await more(page).isVisible()) await more(page).click();
  await page.getByRole('heading', { name: 'At the lights' }).scrollIntoViewIfNeeded();
}

/** The page presses a button that the node does not have (any more), and hears so from it. */
async function pressesWhatIsGone(page: Page): Promise<void> {
  await page.routeWebSocket(/\/ws$/, (line) => {
    const node = line.connectToServer();
    line.onMessage((message) => node.send(typeof message === 'string' ? message.replace('"champagne-room"', '"gone"') : message));
  });
  await page.reload();
  await page.locator('[data-button="champagne-room"][aria-disabled="false"]').waitFor();
}

export const looks: Look[] = [
  { name: 'as it starts' },
  {
    name: 'with much on, and a press to take back',
    make: async (page, node) => {
      await node.command({ do: 'press', button: 'Dance floor' });
      await page.locator('.take-back').waitFor();
    },
    byItself: true,
    gate: 2,
  },
  { name: 'full', show: fullShow, gate: 2 },
  {
    name: 'full, a moment chosen',
    show: fullShow,
    make: async (page) => {
      const name = page.locator('.moment-name');
      if (await name.isVisible()) await name.click();
    },
  },
  {
    name: 'full, a button looked for',
    show: fullShow,
    make: async (page) => {
      const name = page.locator('.moment-name');
      if (await name.isVisible()) await name.click();
      await page.getByRole('button', { name: 'Find a button' }).click();
      await page.getByRole('searchbox', { name: 'Find a button' }).fill('bridesmaids');
    },
  },
  {
    name: 'full, levels',
    show: fullShow,
    make: async (page) => {
      if (await more(page).isVisible()) await more(page).click();
    },
  },
  {
    name: 'pressed',
    make: async (page) => {
      await page.locator('[data-button="champagne-room"]').click();
      await page.locator('[data-button="champagne-room"]:is([data-state="coming"], [data-state="on"])').waitFor();
    },
    byItself: true,
  },
  {
    name: 'blacked out',
    make: async (page, node) => {
      await node.command({ do: 'blackout', on: true });
      await page.locator('[data-dark="true"]').waitFor();
    },
    byItself: true,
  },
  {
    name: 'left to the node',
    make: async (page, node) => {
      await node.command({ do: 'leave', minutes: 30 });
      await page.getByText('Left to the node until').waitFor();
    },
    byItself: true,
  },
  {
    name: 'all off',
    make: async (page, node) => {
      await node.command({ do: 'all-off', fade: 0.1 });
      await page.getByText('Dark: nothing is on').first().waitFor();
    },
    byItself: true,
  },
  {
    name: 'without the node',
    make: async (page, _, cable) => {
      cable.hush();
      await page.getByText('has not answered').first().waitFor();
    },
    byItself: true,
    gate: 2,
  },
  {
    name: 'sent nowhere: no output',
    outputs: [],
    make: (page) => page.locator('[data-sent="nowhere"]').first().waitFor(),
  },
  {
    name: 'sent nowhere: the cable is out',
    open: pullsTheCable,
    make: (page) => page.getByText('The cable to the lights is out').first().waitFor(),
    gate: 2,
  },
  {
    name: 'the haze question',
    open: turnToHaze,
    make: async (page) => {
      await page.locator('.page:not([inert]) [data-button="haze"]').click();
      await page.getByRole('alertdialog').waitFor();
    },
    byItself: true,
    gate: 2,
  },
  {
    name: 'haze held, nobody has permitted it',
    show: guardsShow,
    make: async (page, node) => {
      await node.command({ do: 'press', button: 'all' });
      await page.getByText('Haze is held').first().waitFor();
    },
    byItself: true,
  },
  {
    name: 'haze permitted, a machine that warms up',
    show: guardsShow,
    make: async (page, node) => {
      await node.command({ do: 'allow-haze', on: true });
      await node.command({ do: 'press', button: 'all' });
      await page.getByText('may be warming up').first().waitFor();
    },
    byItself: true,
  },
  {
    name: 'the laser question',
    show: guardsShow,
    make: async (page) => {
      await toTheLights(page);
      await page.getByRole('button', { name: 'Arm the lasers…' }).click();
      await page.getByRole('alertdialog').scrollIntoViewIfNeeded();
    },
  },
  {
    name: 'lasers armed',
    show: guardsShow,
    make: async (page, node) => {
      await node.command({ do: 'arm-lasers', plan: true });
      await page.locator('.dark-notice').filter({ hasText: 'Lasers are armed' }).waitFor();
    },
    byItself: true,
  },
  {
    name: 'the question of quicker flashes',
    show: guardsShow,
    make: async (page) => {
      await toTheLights(page);
      await page.getByRole('button', { name: 'Allow quicker flashes…' }).click();
      await page.getByRole('alertdialog').scrollIntoViewIfNeeded();
    },
    gate: 1,
  },
  {
    name: 'quicker flashes allowed and lasers armed',
    show: guardsShow,
    make: async (page, node) => {
      await node.command({ do: 'raise-flashes', most: 10, read: true });
      await node.command({ do: 'arm-lasers', plan: true });
      await page.locator('.dark-notice').filter({ hasText: 'Up to 10 flashes' }).waitFor();
    },
    byItself: true,
  },
  {
    name: 'the crew at work',
    show: guardsShow,
    make: async (page, node) => {
      await node.command({ do: 'crew', on: true });
      await page.locator('.dark-notice').filter({ hasText: 'The crew is working' }).waitFor();
    },
    byItself: true,
  },
  {
    name: 'a beam dimmed that rested',
    show: guardsShow,
    make: async (page, node) => {
      await node.command({ do: 'press', button: 'all' });
      await page.getByText('a beam rested where guests may look into it').first().waitFor();
    },
    byItself: true,
  },
  {
    name: 'heads that go to where they belong, and stay dark',
    show: guardsShow,
    open: goesHome,
    make: (page) => page.getByText('they go to where they belong first').first().waitFor(),
  },
  {
    name: 'phones and node, with what was held back',
    show: guardsShow,
    make: async (page, node) => {
      await node.command({ do: 'press', button: 'all' });
      await page.getByText('a beam rested where guests may look into it').first().waitFor();
      await goTo(page, 'node');
      await page.locator('.held-back > li').first().waitFor();
    },
  },
  {
    name: 'an error that the node answers',
    open: pressesWhatIsGone,
    make: async (page) => {
      await page.locator('[data-button="champagne-room"]').click();
      await page.locator('.said').waitFor();
    },
    gate: 2,
  },
  {
    name: 'next to nothing: one light, one button, no moment',
    show: {
      format: 'duskhand-show',
      version: 2,
      id: 'empty',
      name: 'Empty',
      theme: { name: 'None', colours: [] },
      fixtures: [{ id: 'one', name: 'One', type: 'dimmer', mode: '1ch', universe: 1, address: 1, use: 'uplight' }],
      looks: [{ id: 'on', name: 'On', parts: [{ who: [{ all: true }], level: 1 }] }],
      buttons: [{ id: 'on', name: 'On', starts: [{ look: 'on' }] }],
    },
  },
  { name: 'the wire', make: (page) => goTo(page, 'wire'), show: fullShow },
  {
    name: 'the wire, a light picked',
    make: async (page) => {
      await goTo(page, 'wire');
      await page.locator('.wire-light').first().click();
    },
  },
  {
    name: 'the wire, a walk',
    make: async (page) => {
      await goTo(page, 'wire');
      await page.getByRole('button', { name: 'One by one' }).click();
      await page.getByText('Do you see it?').waitFor();
    },
  },
  { name: 'the bench', make: toBench, show: fullShow },
  {
    name: 'the bench, a look open',
    make: async (page) => {
      await toBench(page);
      await page.getByRole('link', { name: 'Looks' }).click();
      await page.locator('.bench-things .thing-row').first().click();
      await page.locator('.bench-look').waitFor();
    },
    show: fullShow,
  },
  { name: 'the bench, lights', make: (page) => toLights(page), show: fullShow },
  {
    name: 'the bench, lights chosen',
    make: async (page) => {
      await toLights(page);
      await page.getByRole('button', { name: 'Choose all' }).click();
      await page.getByRole('link', { name: 'Change the 80 chosen lights' }).click();
      await page.getByRole('heading', { name: '80 lights' }).waitFor();
    },
    show: fullShow,
  },
  {
    name: 'the bench, a light open',
    make: async (page) => {
      await toLights(page, '/light/f3');
      await page.getByText('Adjust this one lamp').click();
    },
    show: fullShow,
  },
  { name: 'the bench, a group open', make: (page) => toLights(page, '/group/g3'), show: fullShow },
  {
    name: 'the bench, lights to be added',
    make: async (page) => {
      await toLights(page, '/add');
      await page.getByRole('searchbox').fill('uplight 7');
      await page.getByRole('button', { name: /Battery uplight/ }).click();
    },
    show: fullShow,
  },
  {
    name: 'the bench, kinds of lamp to choose from',
    make: async (page) => {
      await toLights(page, '/add');
      await page.locator('.lights-kinds > li').first().waitFor();
    },
    show: fullShow,
  },
  {
    name: 'the bench, a lamp of one’s own',
    make: async (page) => {
      await toLights(page, '/add');
      await page.getByRole('button', { name: 'Type in a lamp of your own' }).click();
      await page.locator('.lights-table button').first().click();
    },
  },
  {
    name: 'the bench, lights of a look chosen',
    make: async (page) => {
      await toBenchPage(page, 'looks/dance-floor');
      await page.locator('.part-head').nth(1).click();
      await page.getByRole('button', { name: 'Other lights' }).click();
    },
    gate: 2,
  },
  {
    name: 'the bench, looks put in order',
    make: async (page) => {
      await toBenchPage(page, 'looks');
      await page.getByRole('button', { name: 'Put looks in order' }).click();
    },
    show: fullShow,
  },
  { name: 'the bench, a chase open', make: (page) => toBenchPage(page, 'chases/walls-roll'), gate: 2 },
  { name: 'the bench, a movement open', make: (page) => toBenchPage(page, 'movements/beams-circle') },
  {
    name: 'the bench, a hit open that strobes',
    make: async (page) => {
      await toBenchPage(page, 'hits/slow-strobe');
      await page.locator('.part-head').first().click();
    },
  },
  { name: 'the bench, the evening', make: (page) => toBenchPage(page, 'evening'), show: fullShow },
  {
    name: 'the bench, a button open',
    make: async (page) => {
      await toBenchPage(page, 'evening/button:dance-floor');
      await page.getByRole('button', { name: 'Choose: starts' }).click();
    },
    gate: 2,
  },
  { name: 'the bench, a moment open', make: (page) => toBenchPage(page, 'evening/moment:arrival') },
  { name: 'the bench, places', make: (page) => toBenchPage(page, 'places'), show: placedShow, gate: 1 },
  { name: 'the bench, a place open', make: (page) => toBenchPage(page, 'places/floor'), show: placedShow },
  {
    name: 'the bench, a head without a place',
    make: async (page) => {
      await toLights(page, '/light/right');
      await page.getByText('Nobody has said where it is').scrollIntoViewIfNeeded();
    },
    show: placedShow,
  },
  {
    name: 'the bench, a head with a place',
    make: async (page) => {
      await toLights(page, '/light/left');
      await page.getByRole('heading', { name: 'Where it is' }).scrollIntoViewIfNeeded();
    },
    show: placedShow,
  },
  {
    name: 'the bench, two heads to be placed',
    make: async (page) => {
      await toLights(page);
      await page.getByRole('button', { name: 'Choose all' }).click();
      await page.getByRole('link', { name: 'Change the 3 chosen lights' }).click();
      await page.getByRole('heading', { name: 'Where they are' }).scrollIntoViewIfNeeded();
    },
    show: placedShow,
  },
  {
    name: 'the bench, a look aimed at a place',
    make: async (page) => {
      await toBenchPage(page, 'looks/spots');
      await page.getByRole('radio', { name: 'Dance floor' }).check();
      await page.getByRole('checkbox', { name: /^Meant to rest there/ }).check();
      await page.getByText('has no place in the room').waitFor();
      await page.getByText('Looks at').scrollIntoViewIfNeeded();
    },
    show: placedShow,
    gate: 1,
  },
  {
    name: 'the bench, a movement around a place',
    make: async (page) => {
      await toBenchPage(page, 'movements/sway');
      await page.getByRole('radio', { name: 'Fan in and out' }).check();
      await page.getByRole('radio', { name: 'Metres in the room' }).check();
      await page.getByRole('radio', { name: 'A place of its own' }).check();
      await page.getByText('Looks at').scrollIntoViewIfNeeded();
    },
    show: placedShow,
  },
  { name: 'papers', make: (page) => goTo(page, 'papers'), show: fullShow },
  {
    name: 'papers, types',
    make: async (page) => {
      await goTo(page, 'papers');
      await page.getByRole('button', { name: 'Types' }).click();
      await page.locator('.papers-types').first().waitFor();
    },
    show: fullShow,
  },
  { name: 'phones and node', make: (page) => goTo(page, 'node') },
];

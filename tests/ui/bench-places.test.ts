import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { openBrowser, pairedPage } from '../helpers/browser.ts';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { placedShow } from './placed-show.ts';

/** Places of the room, where lights are, and looks and movements that aim there: on a phone, on a real node. */
interface Document {
  readonly mayRest: number;
  readonly landmarks: readonly { readonly id: string; readonly name: string; readonly [field: string]: unknown }[];
  readonly fixtures: readonly { readonly id: string; readonly pose?: object }[];
  readonly looks: readonly { readonly parts: readonly { readonly aim?: object; readonly focus?: boolean }[] }[];
  readonly movements: readonly { readonly figure: string; readonly size: object; readonly aim?: object }[];
}

let browser: Browser;
let node: NodeProcess;
let page: Page;
beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  node = await NodeProcess.start({ show: placedShow, sacn: '127.0.0.1' });
  ({ page } = await pairedPage(browser, node));
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await endAll();
});

const written = async (): Promise<Document> => (await (await node.ask('show')).json()) as Document;
const becomes = (what: string, holds: (show: Document) => boolean) => until(what, async () => holds(await written()) || undefined);
const open = async (at: string): Promise<void> => {
  await page.goto(`${node.file.url}/#/bench/${at}`);
  await page.locator('.bench-page h1').waitFor();
};
const field = (label: string) => page.getByLabel(label, { exact: true }).first();
const choose = (name: string) => page.getByRole('radio', { name, exact: true }).check();

test('a place is made, said in feet and in metres, made an area with nobody in it, and taken out with every word about it', async () => {
  await open('places');
  await page.getByText('That corner is 0, 0').waitFor();
  await page.getByRole('img', { name: 'The room from above: 3 places and 1 light' }).waitFor();
  await page.getByRole('button', { name: 'Make a new place' }).click();
  await field('Name').fill('Stage');
  await field('x, to the right').fill('10 ft');
  await field('y, ahead').fill('2,5');
  await choose('An area around it');
  await field('Wide, along x').fill('6 m');
  await choose('Nobody');
  await becomes('the stage', ({ landmarks }) => {
    const { id: _, order: __, ...stage } = landmarks.find(({ name }) => name === 'Stage') ?? { id: '', name: '' };
    // A foot is 0.3048 m exactly (international yard and pound agreement of 1959).
    const asked = { name: 'Stage', x: 3.048, y: 2.5, z: 0, area: { width: 6, depth: 3, turned: 0 }, people: 'none' };
    return JSON.stringify(Object.entries(stage).sort()) === JSON.stringify(Object.entries(asked).sort());
  });

  await open('looks/spots');
  await choose('Stage');
  await becomes('the look to aim there', ({ looks }) => JSON.stringify(looks[0]?.parts[0]?.aim).includes('"landmark"'));
  await open('places');
  await page.getByRole('link', { name: /^Stage/ }).click();
  await page.getByText('If it is taken out, the look Spots does without it.').waitFor();
  await page.getByRole('button', { name: 'Take out Stage' }).click();
  await becomes('it to be gone', ({ landmarks }) => landmarks.length === 3);
  // Its own angles are what the look falls back to.
  expect((await written()).looks[0]?.parts[0]?.aim).toEqual({ pan: 0, tilt: 30 });
  await page.getByRole('button', { name: /^Take back/ }).click();
  await becomes(
    'all of it to be back',
    ({ landmarks, looks }) => landmarks.length === 4 && 'landmark' in (looks[0]?.parts[0]?.aim ?? {}),
  );
});

test('where a head is: nothing is made up, all is said at once, and forgotten again; several stand in a line', async () => {
  await open('lights/light/right');
  await page.getByText('Nobody has said where it is.').waitFor();
  const there = page.getByRole('button', { name: 'It hangs or stands there' });
  expect(await there.isDisabled()).toBe(true);
  await field('x, to the right').fill('6');
  await field('y, ahead').fill('19 ft 8 in');
  await field('z, above the floor').fill('3.5');
  await choose('Back');
  await there.click();
  const right = (show: Document) => show.fixtures.find(({ id }) => id === 'right')?.pose;
  await becomes('its place', (show) => right(show) !== undefined);
  expect(right(await written())).toEqual({ x: 6, y: 5.994, z: 3.5, put: 'hung', facing: -90, forward: 0, aside: 0 });
  await choose('Standing, base down');
  await field('Leans over its front by').fill('2');
  await becomes('it to stand', (show) => JSON.stringify(right(show)).includes('"put":"standing","facing":-90,"forward":2'));
  await page.getByRole('button', { name: 'Forget where it is' }).click();
  await becomes('it to be forgotten', (show) => right(show) === undefined);
  await page.getByText('Nobody has said where it is.').waitFor();

  await open('lights');
  await page.getByRole('button', { name: 'Choose all' }).click();
  await page.getByRole('link', { name: 'Change the 3 chosen lights' }).click();
  await page.getByText('Nobody has said where 2 of them are.').waitFor();
  await field('Last: x, to the right').fill('8');
  await field('Last: y, ahead').fill('6');
  await page.getByRole('button', { name: 'They hang or stand there' }).click();
  await becomes('all in a line', ({ fixtures }) => {
    const line = fixtures.map(({ pose }) => pose as { readonly x: number; readonly y: number; readonly z: number } | undefined);
    return line.map((one) => `${one?.x} ${one?.y} ${one?.z}`).join() === '2 6 3.5,5 6 3.5,8 6 3.5';
  });
});

test('a look aims at a place, is meant to rest there, and says which head cannot look there', async () => {
  await open('looks/spots');
  await choose('Dance floor');
  await page.getByText('Right head: has no place in the room; it looks by its angles').waitFor();
  await choose('In rows all over it');
  const rest = page.getByRole('checkbox', { name: /^Meant to rest there/ });
  await page.getByText('dimmed after 6 s').waitFor();
  await rest.check();
  await becomes('the look', ({ looks }) => looks[0]?.parts[0]?.focus === true);
  expect((await written()).looks[0]?.parts[0]?.aim).toEqual({ landmark: 'floor', deal: 'grid', angles: { pan: 0, tilt: 30 } });
  await choose('A point of the room');
  await field('z, above the floor').fill('2');
  await becomes('the point', ({ looks }) => JSON.stringify(looks[0]?.parts[0]?.aim).includes('"point":{"x":4,"y":3,"z":2}'));
  await page.getByRole('button', { name: 'Aim as below it' }).click();
  await becomes(
    'no aim, and no rest',
    ({ looks }) => !('aim' in (looks[0]?.parts[0] ?? {})) && !('focus' in (looks[0]?.parts[0] ?? {})),
  );

  await open('show');
  await field('A beam may rest there for').fill('4 s');
  await becomes('four seconds', ({ mayRest }) => mayRest === 4);
});

test('a movement fans in and out in metres around a place', async () => {
  await open('movements/sway');
  await choose('Fan in and out');
  await choose('Metres in the room');
  await field('To the right and left of the centre, along x').fill('2');
  await choose('A place of its own');
  await choose('Dance floor');
  await becomes('the movement', ({ movements: [one] }) => JSON.stringify(one?.aim) === '{"landmark":"floor"}');
  const [movement] = (await written()).movements;
  expect(movement).toMatchObject({ figure: 'fan', size: { width: 2, depth: 1.5 } });
  await page.getByText('Right head: has no place in the room').waitFor();
});

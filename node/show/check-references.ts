import { themeColourIn } from '../light/colour-value.ts';
import { Choice } from './choice.ts';
import { type Aim, type ItemKind, type ItemRef, itemKinds, type Part, type Show, type Who } from './document.ts';
import { type Fault, faultAt, type Place, placeOfShow, placesOf } from './places.ts';
import { type ListKind, listOf } from './things.ts';

const plain: Readonly<Record<Exclude<ListKind, 'fixtureType' | 'moment'>, string>> = {
  themeColour: 'theme colour',
  fixture: 'fixture',
  group: 'group',
  landmark: 'landmark',
  look: 'look',
  chase: 'chase',
  movement: 'movement',
  hit: 'hit',
  button: 'button',
};

/** What is named and is not there, and what is still empty. */
export function* referenceFaults(show: Show): Generator<Fault> {
  const known = Object.fromEntries(
    Object.entries(plain).map(([kind, what]) => [
      kind,
      new Choice(
        what,
        listOf(show, kind as ListKind).map(({ id }) => id),
      ),
    ]),
  ) as Readonly<Record<keyof typeof plain, Choice>>;
  const uses = new Choice('use', new Set(show.fixtures.map(({ use }) => use)));

  function* one(at: Place, kind: keyof typeof plain, id: string, within: string): Generator<Fault> {
    if (!known[kind].has(id)) yield faultAt(at, within, known[kind].lacks(id));
  }
  function* who(at: Place, all: readonly Who[], within: string): Generator<Fault> {
    if (all.length === 0) yield faultAt(at, within, 'speaks of no fixture yet');
    for (const [i, each] of all.entries()) {
      if ('fixture' in each && !known.fixture.has(each.fixture)) yield* one(at, 'fixture', each.fixture, `${within}[${i}].fixture`);
      if ('group' in each && !known.group.has(each.group)) yield* one(at, 'group', each.group, `${within}[${i}].group`);
      if ('use' in each && !uses.has(each.use))
        yield faultAt(at, `${within}[${i}].use`, `no fixture has the use "${each.use}"; ${uses.words}`);
    }
  }
  function* aim(at: Place, wanted: Aim | undefined, within: string): Generator<Fault> {
    if (wanted !== undefined && 'landmark' in wanted) yield* one(at, 'landmark', wanted.landmark, `${within}.landmark`);
  }
  function* parts(at: Place, all: readonly Part[], within: string): Generator<Fault> {
    if (all.length === 0) yield faultAt(at, within, 'does nothing yet: it has no parts');
    for (const [i, part] of all.entries()) {
      yield* who(at, part.who, `${within}[${i}].who`);
      yield* aim(at, part.aim, `${within}[${i}].aim`);
      for (const [k, text] of [part.colour ?? []].flat().entries()) {
        // Most name no colour of the theme: they are not read.
        const id = themeColourIn(text);
        if (id === undefined || known.themeColour.has(id)) continue;
        yield* one(at, 'themeColour', id, `${within}[${i}].colour${Array.isArray(part.colour) ? `[${k}]` : ''}`);
      }
    }
  }
  function* item(at: Place, ref: ItemRef, within: string): Generator<Fault> {
    for (const kind of itemKinds) {
      const id = (ref as Partial<Record<ItemKind, string>>)[kind];
      if (id !== undefined) yield* one(at, kind, id, `${within}.${kind}`);
    }
  }
  function* items(at: Place, refs: readonly ItemRef[], within: string): Generator<Fault> {
    for (const [i, ref] of refs.entries()) yield* item(at, ref, `${within}[${i}]`);
  }

  for (const at of placesOf(show, 'group')) {
    if (at.thing.fixtures.length === 0) yield faultAt(at, 'fixtures', 'has no fixtures yet');
    for (const [k, id] of at.thing.fixtures.entries()) yield* one(at, 'fixture', id, `fixtures[${k}]`);
  }
  for (const at of placesOf(show, 'look')) yield* parts(at, at.thing.parts, 'parts');
  for (const at of placesOf(show, 'hit')) yield* parts(at, at.thing.parts, 'parts');
  for (const at of placesOf(show, 'chase')) {
    const { steps } = at.thing;
    if (steps.length < 2) yield faultAt(at, 'steps', `must have at least 2 steps (found ${steps.length})`);
    for (const [k, step] of steps.entries()) yield* parts(at, step.parts, `steps[${k}].parts`);
    if (new Set(steps.map(({ length }) => 'beats' in length)).size > 1)
      yield faultAt(at, 'steps', 'must count all in seconds or all in beats');
  }
  for (const at of placesOf(show, 'movement')) {
    yield* who(at, at.thing.who, 'who');
    yield* aim(at, at.thing.aim, 'aim');
  }
  for (const at of placesOf(show, 'button')) {
    if (at.thing.starts.length === 0) yield faultAt(at, 'starts', 'starts nothing yet');
    yield* items(at, at.thing.starts, 'starts');
    yield* items(at, at.thing.stops, 'stops');
  }
  yield* alikeNames(show);
  for (const at of placesOf(show, 'moment')) {
    for (const [k, id] of at.thing.buttons.entries()) yield* one(at, 'button', id, `buttons[${k}]`);
    yield* items(at, at.thing.starts, 'starts');
    yield* items(at, at.thing.stops, 'stops');
  }

  const at = placeOfShow(show);
  yield* items(at, show.start, 'start');
  for (const id of Object.keys(show.masters.groups)) yield* one(at, 'group', id, `masters.groups.${id}`);
  if (show.fallback !== 'blackout') yield* item(at, show.fallback, 'fallback');
}

function* alikeNames(show: Show): Generator<Fault> {
  const names = new Map<string, string>();
  for (const at of placesOf(show, 'button')) {
    const { name } = at.thing;
    const first = names.get(name.toLowerCase());
    if (first !== undefined) yield faultAt(at, 'name', `"${name}" is also the name of ${first}: a thumb could not tell them apart`);
    names.set(name.toLowerCase(), first ?? at.path);
  }
}

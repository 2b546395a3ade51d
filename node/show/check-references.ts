import type { Problem } from '../core/errors.ts';
import { parseColour } from '../light/colour-value.ts';
import { checkPatch, checkTypes } from './check-patch.ts';
import { type ItemKind, type ItemRef, itemKinds, type Part, type Show, type Who } from './document.ts';

const LONGEST_CHOICE = 12;

/** What the schema cannot see: names that lead nowhere, names given twice, fixtures that overlap in a universe. */
export function checkReferences(show: Show): Problem[] {
  const problems: Problem[] = [];
  const wrong = (path: string, message: string): void => void problems.push({ path, message });

  const ids = (list: readonly { readonly id: string }[], path: string): ReadonlySet<string> => {
    const seen = new Set<string>();
    for (const [i, { id }] of list.entries()) {
      if (seen.has(id)) wrong(`${path}[${i}].id`, `"${id}" is given twice`);
      seen.add(id);
    }
    return seen;
  };
  const known = (set: ReadonlySet<string>, id: string, path: string, what: string): void => {
    if (!set.has(id)) wrong(path, `there is no ${what} "${id}"; ${choice(set)}`);
  };

  const fixtures = ids(show.fixtures, 'fixtures');
  const groups = ids(show.groups, 'groups');
  const themeColours = ids(show.theme.colours, 'theme.colours');
  const buttons = ids(show.buttons, 'buttons');
  const items: Readonly<Record<ItemKind, ReadonlySet<string>>> = {
    look: ids(show.looks, 'looks'),
    chase: ids(show.chases, 'chases'),
    movement: ids(show.movements, 'movements'),
    hit: ids(show.hits, 'hits'),
  };
  ids(show.fixtureTypes, 'fixtureTypes');
  ids(show.moments, 'moments');

  const checkWho = (who: readonly Who[], path: string): void => {
    for (const [i, one] of who.entries()) {
      if ('fixture' in one) known(fixtures, one.fixture, `${path}[${i}].fixture`, 'fixture');
      if ('group' in one) known(groups, one.group, `${path}[${i}].group`, 'group');
      if ('use' in one && !show.fixtures.some(({ use }) => use === one.use))
        wrong(`${path}[${i}].use`, `no fixture has the use "${one.use}"; ${choice(new Set(show.fixtures.map(({ use }) => use)))}`);
    }
  };
  const checkParts = (parts: readonly Part[], path: string): void => {
    for (const [i, part] of parts.entries()) {
      checkWho(part.who, `${path}[${i}].who`);
      for (const [k, text] of [part.colour ?? []].flat().entries()) {
        const value = parseColour(text);
        const at = `${path}[${i}].colour${Array.isArray(part.colour) ? `[${k}]` : ''}`;
        if (value?.kind === 'theme') known(themeColours, value.id, at, 'theme colour');
      }
    }
  };
  const checkItem = (ref: ItemRef, path: string): void => {
    for (const kind of itemKinds) {
      const id = (ref as Partial<Record<ItemKind, string>>)[kind];
      if (id !== undefined) known(items[kind], id, `${path}.${kind}`, kind);
    }
  };
  const checkItems = (refs: readonly ItemRef[], path: string): void => {
    for (const [i, ref] of refs.entries()) checkItem(ref, `${path}[${i}]`);
  };

  for (const [i, group] of show.groups.entries())
    for (const [k, id] of group.fixtures.entries()) known(fixtures, id, `groups[${i}].fixtures[${k}]`, 'fixture');
  for (const [i, { parts }] of show.looks.entries()) checkParts(parts, `looks[${i}].parts`);
  for (const [i, { parts }] of show.hits.entries()) checkParts(parts, `hits[${i}].parts`);
  for (const [i, { steps }] of show.chases.entries()) {
    for (const [k, { parts }] of steps.entries()) checkParts(parts, `chases[${i}].steps[${k}].parts`);
    if (new Set(steps.map(({ length }) => 'beats' in length)).size > 1)
      wrong(`chases[${i}].steps`, 'must count all in seconds or all in beats');
  }
  for (const [i, { who }] of show.movements.entries()) checkWho(who, `movements[${i}].who`);
  for (const [i, { starts, stops }] of show.buttons.entries()) {
    checkItems(starts, `buttons[${i}].starts`);
    checkItems(stops, `buttons[${i}].stops`);
  }
  for (const [i, moment] of show.moments.entries())
    for (const [k, id] of moment.buttons.entries()) known(buttons, id, `moments[${i}].buttons[${k}]`, 'button');
  checkItems(show.start, 'start');
  for (const id of Object.keys(show.masters.groups)) known(groups, id, `masters.groups.${id}`, 'group');
  if (show.fallback !== 'blackout') checkItem(show.fallback, 'fallback');

  const names = new Map<string, number>();
  for (const [i, { name }] of show.buttons.entries()) {
    const first = names.get(name.toLowerCase());
    if (first !== undefined)
      wrong(`buttons[${i}].name`, `"${name}" is also the name of buttons[${first}]: a thumb could not tell them apart`);
    names.set(name.toLowerCase(), first ?? i);
  }

  checkTypes(show, wrong);
  checkPatch(show, wrong);
  return problems;
}

/** `known are dinner, dancing` */
function choice(of: ReadonlySet<string>): string {
  if (of.size === 0) return 'there are none';
  return `known are ${[...of].slice(0, LONGEST_CHOICE).join(', ')}${of.size > LONGEST_CHOICE ? '…' : ''}`;
}

import type { Problem } from '../core/errors.ts';
import { footprint } from '../fixtures/fixture-type.ts';
import { library } from '../fixtures/library.ts';
import { parseColour } from './colour-value.ts';
import { type ItemRef, itemKey, type Part, type Show, type Who } from './document.ts';

/** What the schema cannot see: names that lead nowhere, names given twice, fixtures that overlap in a universe. */
export function checkReferences(show: Show): Problem[] {
  const problems: Problem[] = [];
  const wrong = (path: string, message: string): void => void problems.push({ path, message });

  const ids = <T extends { id: string }>(list: readonly T[], path: string): ReadonlySet<string> => {
    const seen = new Set<string>();
    list.forEach(({ id }, i) => {
      if (seen.has(id)) wrong(`${path}[${i}].id`, `"${id}" is given twice`);
      seen.add(id);
    });
    return seen;
  };
  const known = (set: ReadonlySet<string>, id: string, path: string, what: string): void => {
    if (!set.has(id))
      wrong(path, `there is no ${what} "${id}"; there ${set.size === 0 ? 'are none' : `is ${[...set].slice(0, 12).join(', ')}`}`);
  };

  const fixtures = ids(show.fixtures, 'fixtures');
  const groups = ids(show.groups, 'groups');
  const themeColours = ids(show.theme.colours, 'theme.colours');
  const buttons = ids(show.buttons, 'buttons');
  ids(show.fixtureTypes, 'fixtureTypes');
  ids(show.outputs, 'outputs');
  ids(show.moments, 'moments');
  const items = new Set<string>([
    ...[...ids(show.looks, 'looks')].map((id) => `look:${id}`),
    ...[...ids(show.chases, 'chases')].map((id) => `chase:${id}`),
    ...[...ids(show.movements, 'movements')].map((id) => `movement:${id}`),
    ...[...ids(show.hits, 'hits')].map((id) => `hit:${id}`),
  ]);

  const checkWho = (who: readonly Who[], path: string): void => {
    who.forEach((one, i) => {
      if ('fixture' in one) known(fixtures, one.fixture, `${path}[${i}].fixture`, 'fixture');
      if ('group' in one) known(groups, one.group, `${path}[${i}].group`, 'group');
      if ('use' in one && !show.fixtures.some(({ use }) => use === one.use))
        wrong(`${path}[${i}].use`, `no fixture has the use "${one.use}"`);
    });
  };
  const checkParts = (parts: readonly Part[], path: string): void => {
    parts.forEach((part, i) => {
      checkWho(part.who, `${path}[${i}].who`);
      [part.colour ?? []].flat().forEach((text, k) => {
        const value = parseColour(text);
        const at = `${path}[${i}].colour${Array.isArray(part.colour) ? `[${k}]` : ''}`;
        if (value?.kind === 'theme') known(themeColours, value.id, at, 'theme colour');
      });
    });
  };
  const checkItems = (refs: readonly ItemRef[], path: string): void => {
    refs.forEach((ref, i) => known(items, itemKey(ref), `${path}[${i}]`, 'item'));
  };

  show.groups.forEach((group, i) =>
    group.fixtures.forEach((id, k) => known(fixtures, id, `groups[${i}].fixtures[${k}]`, 'fixture')),
  );
  show.looks.forEach((look, i) => checkParts(look.parts, `looks[${i}].parts`));
  show.hits.forEach((hit, i) => checkParts(hit.parts, `hits[${i}].parts`));
  show.chases.forEach((chase, i) => {
    chase.steps.forEach((step, k) => checkParts(step.parts, `chases[${i}].steps[${k}].parts`));
    if (new Set(chase.steps.map(({ length }) => 'beats' in length)).size > 1)
      wrong(`chases[${i}].steps`, 'must count all in seconds or all in beats');
  });
  show.movements.forEach((movement, i) => checkWho(movement.who, `movements[${i}].who`));
  show.buttons.forEach((button, i) => {
    checkItems(button.starts, `buttons[${i}].starts`);
    checkItems(button.stops, `buttons[${i}].stops`);
  });
  show.moments.forEach((moment, i) =>
    moment.buttons.forEach((id, k) => known(buttons, id, `moments[${i}].buttons[${k}]`, 'button')),
  );
  checkItems(show.start, 'start');
  for (const id of Object.keys(show.masters.groups)) known(groups, id, `masters.groups.${id}`, 'group');
  if (show.fallback !== 'blackout') known(items, `look:${show.fallback.look}`, 'fallback.look', 'item');

  const names = new Map<string, number>();
  show.buttons.forEach(({ name }, i) => {
    const first = names.get(name.toLowerCase());
    if (first !== undefined)
      wrong(`buttons[${i}].name`, `"${name}" is also the name of buttons[${first}]: a thumb could not tell them apart`);
    names.set(name.toLowerCase(), first ?? i);
  });

  checkPatch(show, wrong);
  return problems;
}

function checkPatch(show: Show, wrong: (path: string, message: string) => void): void {
  const owner = new Map<string, string>();
  show.fixtures.forEach((fixture, i) => {
    const type = show.fixtureTypes.find(({ id }) => id === fixture.type) ?? library.get(fixture.type);
    if (type === undefined)
      return wrong(
        `fixtures[${i}].type`,
        `there is no fixture type "${fixture.type}"; the library has ${[...library.keys()].join(', ')}`,
      );
    const mode = type.modes.find(({ id }) => id === fixture.mode);
    if (mode === undefined)
      return wrong(
        `fixtures[${i}].mode`,
        `"${type.name}" has no mode "${fixture.mode}"; it has ${type.modes.map(({ id }) => id).join(', ')}`,
      );
    const last = fixture.address + footprint(mode) - 1;
    if (last > 512) return wrong(`fixtures[${i}].address`, `needs slots ${fixture.address} to ${last}, but a universe ends at 512`);
    for (let slot = fixture.address; slot <= last; slot++) {
      const other = owner.get(`${fixture.universe}/${slot}`);
      if (other !== undefined)
        return wrong(
          `fixtures[${i}].address`,
          `"${fixture.name}" and "${other}" both want slot ${slot} of universe ${fixture.universe}`,
        );
      owner.set(`${fixture.universe}/${slot}`, fixture.name);
    }
  });
}

import { describe, expect, it } from 'vitest';
import type { FixtureType } from '../../node/rig/fixture-type.ts';
import { readDescription } from '../../node/rig/gdtf/read.ts';
import { carryTypes } from '../../node/show/carry-types.ts';
import { checkShow } from '../../node/show/read.ts';
import { place, tinyShow } from '../helpers/tiny-show.ts';
import { description, plain } from '../rig/gdtf/made-file.ts';

const moth = readDescription(description({ channels: plain('1', 'Dimmer') }));
const find = (id: string): FixtureType | undefined => (id === moth.id ? moth : undefined);
const naming = (...types: string[]) => ({
  ...tinyShow({}),
  fixtures: types.map((type, i) => ({ ...place(`lamp-${i}`, type, type === 'dimmer' ? '1ch' : 'basic', i + 1), name: 'Lamp' })),
});

describe('a show', () => {
  it('takes along the imported types that it names, once each, and is whole from then on', () => {
    const carried = carryTypes(naming(moth.id, 'dimmer', moth.id), find) as { fixtureTypes: unknown[] };
    expect(carried.fixtureTypes).toEqual([moth]);
    const show = checkShow(carried);
    expect(show.fixtureTypes).toEqual([moth]);
    expect(checkShow(JSON.parse(JSON.stringify(show)))).toEqual(show);
  });

  it('keeps the type that it carries already, whatever has been imported since', () => {
    const own = { ...moth, name: 'As it was' };
    const show = { ...naming(moth.id), fixtureTypes: [own] };
    expect(carryTypes(show, find)).toBe(show);
  });

  it('that names only the library, or what nobody knows, is left for its reader', () => {
    for (const show of [naming('dimmer'), naming('unheard-of')]) expect(carryTypes(show, find)).toBe(show);
    expect(() => checkShow(carryTypes(naming('unheard-of'), find))).toThrow('The show has mistakes');
  });

  it.each([null, 1, 'x', [], {}, { fixtures: 1 }, { fixtures: [null, 1, {}] }, { fixtures: [{ type: moth.id }], fixtureTypes: 1 }])(
    '%j is no show and is left as it is',
    (json) => {
      expect(carryTypes(json, find)).toBe(json);
    },
  );
});

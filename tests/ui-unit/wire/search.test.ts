import { describe, expect, test } from 'vitest';
import { readAddress } from '../../../ui/src/parts/address.ts';
import { search } from '../../../ui/src/wire/search.ts';
import { lamp } from './fixtures.ts';

const fixtures = [
  lamp('n1', 'North wall 1', 'uplight', 1, 1, 9),
  lamp('n2', 'North wall 2', 'uplight', 1, 11, 9),
  lamp('cafe', 'Café corner', 'dance wash', 2, 12, 6),
  lamp('spot', 'Spot left', 'spot', 12, 1, 12),
];
const found = (text: string): string[] => search(fixtures, text).fixtures.map(({ id }) => id);

describe('search', () => {
  test.each([
    ['', ['n1', 'n2', 'cafe', 'spot']],
    ['wall', ['n1', 'n2']],
    ['WALL north', ['n1', 'n2']],
    ['cafe', ['cafe']],
    ['dance', ['cafe']],
    ['universe 2', ['cafe']],
    ['u12', ['spot']],
    ['2.', ['cafe']],
    // the second wall by its name, and what is on the second universe
    ['2', ['n2', 'cafe']],
    ['2.17', ['cafe']],
    ['2.18', []],
    ['2/12', ['cafe']],
    ['1.10', []],
    ['nobody', []],
  ])('"%s"', (text, ids) => {
    expect(found(text)).toEqual(ids);
  });

  test('a slot that was asked for is told, whether a fixture holds it or not', () => {
    expect(search(fixtures, '2.17').slot).toEqual({ universe: 2, slot: 17 });
    expect(search(fixtures, '2.400').slot).toEqual({ universe: 2, slot: 400 });
    expect(search(fixtures, 'wall').slot).toBeUndefined();
  });

  test('no slot lies outside 1 to 512 (ANSI E1.11)', () => {
    for (const text of ['1.0', '1.513', '0.1', '1.', 'a.1']) expect(readAddress(text)).toBeUndefined();
    expect(readAddress(' 3 : 512 ')).toEqual({ universe: 3, slot: 512 });
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clashesOf } from '../../../node/plan/patch/clashes.ts';
import { mendedPlaces, placeFields, placesFrom, sizesOf, slotsOf, startsOf } from '../../../node/plan/patch/free-places.ts';
import { patchFaults } from '../../../node/show/check-patch.ts';
import { type Show, showDocument } from '../../../node/show/document.ts';

/** A bar with a second start address for its white strobes. */
const twice = {
  id: 'twice',
  name: 'Twice',
  modes: [
    {
      id: 'both',
      name: 'Both',
      channels: [
        { slot: 6, functions: [{ attribute: 'Dimmer' }] },
        { slot: 3, break: 2, functions: [{ attribute: 'Dimmer' }] },
      ],
    },
  ],
};
type Loose = { id: string; type: string; mode: string; universe?: number; address?: number; further?: object[] };
const show = (...fixtures: Loose[]): Show =>
  showDocument.parse({
    format: 'duskhand-show',
    version: 4,
    id: 'rig',
    name: 'Rig',
    theme: { name: 'None' },
    fixtureTypes: [twice],
    fixtures: fixtures.map((one) => ({ name: one.id, use: 'uplight', ...one })),
  });
const par = (id: string, universe?: number, address?: number): Loose => ({
  id,
  type: 'rgbw-par',
  mode: '6ch',
  ...(universe === undefined ? {} : { universe }),
  ...(address === undefined ? {} : { address }),
});
const written = (places: readonly (readonly { universe: number; address: number }[])[] | undefined) =>
  places?.map((own) => own.map(({ universe, address }) => `${universe}.${address}`).join(' '));
const none = new Set<string>();

describe('Lamps that are added', () => {
  it('stand one behind the other in the first places that are free', () => {
    const taken = slotsOf(show(par('a', 1, 1), par('b', 1, 13)), none);
    expect(written(placesFrom(taken, [[6], [6], [6]], { universe: 1, address: 1 }))).toEqual(['1.7', '1.19', '1.25']);
  });

  it('are not cut over two universes', () => {
    const taken = slotsOf(show(par('a', 1, 501)), none);
    expect(written(placesFrom(taken, [[100], [12]], { universe: 1, address: 420 }))).toEqual(['2.1', '2.101']);
    expect(written(placesFrom(slotsOf(show(), none), [[6], [6]], { universe: 1, address: 507 }))).toEqual(['1.507', '2.1']);
  });

  it('have a place for each of their start addresses', () => {
    const sizes = sizesOf({ type: 'twice', mode: 'both' }, show().fixtureTypes);
    expect(sizes).toEqual([6, 3]);
    expect(written(placesFrom(slotsOf(show(), none), [sizes ?? [], sizes ?? []], { universe: 4, address: 1 }))).toEqual([
      '4.1 4.7',
      '4.10 4.16',
    ]);
  });

  it('are not added where the last universe is full', () => {
    expect(placesFrom(slotsOf(show(), none), [[512], [1]], { universe: 63_999, address: 1 })).toBeUndefined();
    expect(placesFrom(slotsOf(show(), none), [[513]], { universe: 1, address: 1 })).toBeUndefined();
  });
});

it('lamps that are moved keep out of the slots of those that stay, and may have their own again', () => {
  const rig = show(par('a', 1, 1), par('b', 1, 7), par('c', 1, 13));
  const chosen = new Set(['a', 'c']);
  expect(written(placesFrom(slotsOf(rig, chosen), [[6], [6]], { universe: 1, address: 1 }))).toEqual(['1.1', '1.13']);
});

describe('A patch that is mended', () => {
  const mended = (rig: Show): Show => ({
    ...rig,
    fixtures: rig.fixtures.map((one) => {
      const places = mendedPlaces(rig)?.get(one.id);
      const { further: _, ...rest } = one;
      return places === undefined ? one : { ...rest, ...placeFields(places) };
    }),
  });

  it('moves the later of two that share slots, what has no address, and what runs off the end', () => {
    const rig = show(par('a', 1, 1), par('b', 1, 4), par('c'), par('d', 2, 510), par('e', 2, 1));
    expect(Object.fromEntries([...(mendedPlaces(rig) ?? [])].map(([id, own]) => [id, written([own])?.[0]]))).toEqual({
      b: '1.7',
      c: '1.13',
      d: '2.7',
    });
  });

  it('gives a lamp the start addresses that it lacks, and takes those that it has too many', () => {
    const rig = show(
      { id: 'bar', type: 'twice', mode: 'both', universe: 1, address: 1 },
      {
        ...par('a', 1, 20),
        further: [{ universe: 1, address: 40 }],
      },
    );
    const after = mended(rig);
    expect(after.fixtures[0]?.further).toEqual([{ universe: 1, address: 7 }]);
    expect(after.fixtures[1]?.further).toBeUndefined();
  });

  it('has no fault of an address left, whatever stood there, and leaves what stood well', () => {
    const place = fc.option(fc.record({ universe: fc.integer({ min: 1, max: 3 }), address: fc.integer({ min: 1, max: 512 }) }), {
      nil: undefined,
    });
    const kind = fc.constantFrom(['rgbw-par', '6ch'], ['twice', 'both'], ['pixel-tube', '48ch'], ['dimmer', '1ch']);
    fc.assert(
      fc.property(fc.array(fc.tuple(kind, place), { minLength: 1, maxLength: 60 }), (lamps) => {
        const rig = show(...lamps.map(([[type = '', mode = ''], at], i) => ({ id: `l${i}`, type, mode, ...at })));
        const known = { ...rig, fixtures: rig.fixtures.filter((one) => sizesOf(one, rig.fixtureTypes) !== undefined) };
        const before = new Set([...patchFaults(known)].map(({ id }) => id));
        const after = mended(known);
        expect([...patchFaults(after)]).toEqual([]);
        const standing = after.fixtures.flatMap((one) =>
          startsOf(one).map((at, i) => ({ id: `${one.id} ${i}`, size: sizesOf(one, rig.fixtureTypes)?.[i] ?? 0, ...at })),
        );
        expect(clashesOf(standing)).toEqual([]);
        for (const [i, one] of known.fixtures.entries()) if (!before.has(one.id)) expect(after.fixtures[i]).toEqual(one);
      }),
      { numRuns: 200 },
    );
  });
});

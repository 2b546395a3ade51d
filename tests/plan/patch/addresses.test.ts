import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planAddresses, type Wanted } from '../../../node/plan/patch/addresses.ts';

const some = (count: number, kind: string, size: number): Wanted[] =>
  Array.from({ length: count }, (_, i) => ({ id: `${kind}-${i + 1}`, kind, size }));
const written = (plan: ReturnType<typeof planAddresses>): Record<string, string> =>
  Object.fromEntries([...plan.places].map(([id, { universe, address }]) => [id, `${universe}.${address}`]));

describe('Automatic addressing', () => {
  it('puts lamps of a kind one behind the other, and leaves a gap before the next kind', () => {
    expect(written(planAddresses([...some(3, 'par', 6), ...some(2, 'bar', 14)], [1], 10))).toEqual({
      'par-1': '1.1',
      'par-2': '1.7',
      'par-3': '1.13',
      // 18 slots and a gap of 10: the next begins at 29.
      'bar-1': '1.29',
      'bar-2': '1.43',
    });
  });

  it('keeps a kind together though its lamps are named in between others', () => {
    const [a, b, c] = some(3, 'par', 6) as [Wanted, Wanted, Wanted];
    const [d] = some(1, 'bar', 12) as [Wanted];
    expect(written(planAddresses([a, d, b, c], [1], 0))).toEqual({
      'par-1': '1.1',
      'par-2': '1.7',
      'par-3': '1.13',
      'bar-1': '1.19',
    });
  });

  it('takes a kind that does not fit behind the others to the next universe whole, and fills what is left with a smaller one', () => {
    // 500 slots leave 12; 30 do not fit there, 4 behind a gap of 8 do: 501 + 8 to 512.
    const plan = planAddresses([...some(1, 'wall', 500), ...some(3, 'par', 10), ...some(1, 'small', 4)], [1, 2], 8);
    expect(written(plan)).toEqual({ 'wall-1': '1.1', 'par-1': '2.1', 'par-2': '2.11', 'par-3': '2.21', 'small-1': '1.509' });
  });

  it('deals a kind out over universes only where no universe has room for all of it', () => {
    const plan = planAddresses(some(5, 'panel', 200), [3, 4, 5], 8);
    expect(written(plan)).toEqual({ 'panel-1': '3.1', 'panel-2': '3.201', 'panel-3': '4.1', 'panel-4': '4.201', 'panel-5': '5.1' });
  });

  it('gives up the gap before it leaves a lamp out, and then says who is left', () => {
    const plan = planAddresses([...some(1, 'wall', 500), ...some(1, 'par', 12), ...some(1, 'late', 1)], [1], 8);
    expect(written(plan)).toEqual({ 'wall-1': '1.1', 'par-1': '1.501' });
    expect(plan.left).toEqual(['late-1']);
  });

  it('keeps the addresses that stand, puts new lamps next to those of their kind, and moves the second of two that clash', () => {
    const plan = planAddresses(
      [
        { id: 'a', kind: 'par', size: 6, at: { universe: 2, address: 101 } },
        { id: 'b', kind: 'bar', size: 10, at: { universe: 1, address: 1 } },
        { id: 'c', kind: 'bar', size: 10, at: { universe: 1, address: 5 } },
        { id: 'd', kind: 'bar', size: 10, at: { universe: 1, address: 510 } },
        { id: 'e', kind: 'par', size: 6 },
      ],
      [1, 2],
      4,
    );
    expect(plan.moved).toEqual(['c', 'd']);
    expect(written(plan)).toEqual({ a: '2.101', b: '1.1', c: '1.11', d: '1.21', e: '2.107' });
  });

  it('never lets two lamps share a slot nor one run off the end, whatever stands already', () => {
    const lamp = fc.record({
      kind: fc.constantFrom('a', 'b', 'c'),
      size: fc.integer({ min: 1, max: 512 }),
      at: fc.option(fc.record({ universe: fc.integer({ min: 1, max: 4 }), address: fc.integer({ min: 1, max: 512 }) }), {
        nil: undefined,
      }),
    });
    fc.assert(
      fc.property(fc.array(lamp, { maxLength: 25 }), fc.integer({ min: 0, max: 32 }), (lamps, gap) => {
        const wanted = lamps.map((one, i) => ({ ...one, id: String(i) }));
        const { places, left } = planAddresses(wanted, [1, 2, 3, 4], gap);
        /** Slot 1 at index 0, for each universe. */
        const taken = [1, 2, 3, 4].map(() => new Array<boolean>(512).fill(false));
        for (const { id, size } of wanted) {
          const at = places.get(id);
          expect(at === undefined).toBe(left.includes(id));
          if (at === undefined) continue;
          expect(at.address + size - 1).toBeLessThanOrEqual(512);
          const slots = taken[at.universe - 1] as boolean[];
          expect(slots.slice(at.address - 1, at.address - 1 + size)).not.toContain(true);
          slots.fill(true, at.address - 1, at.address - 1 + size);
        }
        // Who is left out would have fitted nowhere.
        const runs = taken.map((slots) =>
          Math.max(
            ...slots
              .map((used) => (used ? ' ' : '.'))
              .join('')
              .split(' ')
              .map((free) => free.length),
          ),
        );
        for (const id of left) expect(Math.max(...runs)).toBeLessThan(wanted[Number(id)]?.size ?? 0);
      }),
      { numRuns: 200 },
    );
  });
});

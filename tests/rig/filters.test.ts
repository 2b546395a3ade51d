import { describe, expect, it } from 'vitest';
import { besideWhite, nearestFilter, openSlot } from '../../node/rig/filters.ts';
import { type FixtureType, fixtureType } from '../../node/rig/fixture-type.ts';

type Slots = readonly { readonly name: string; readonly colour?: string; readonly image?: string }[];
function wheel(slots: Slots, more: object = {}, functions: object[] = [{ attribute: 'Color1', physical: [1, slots.length] }]) {
  const type: FixtureType = fixtureType.parse({
    id: 'own',
    name: 'Own',
    wheels: { Color1: slots, Gobo1: slots },
    modes: [
      {
        id: 'm',
        name: 'M',
        channels: [
          { slot: 1, functions },
          { slot: 2, functions: [{ attribute: 'Gobo1', physical: [1, slots.length] }] },
        ],
      },
    ],
    ...more,
  });
  return [type, type.modes[0] as FixtureType['modes'][number]] as const;
}
/** Planckian locus (CIE 1931): 2700 K. */
const WARM = [0.4599, 0.4106] as const;
/** What these come to in sRGB (IEC 61966-2-1): 2700 K, a filter of x 0.56 y 0.41. */
const tints = [
  { name: 'nothing', colour: '#ffffff' },
  { name: 'orange', colour: '#ff8000' },
  { name: '2700 K', colour: '#ffa757' },
];

const nearest = (...of: Parameters<typeof nearestFilter>) => nearestFilter(...of)?.slot;

describe('a colour wheel', () => {
  it('is turned to the filter whose chromaticity comes nearest, not to the more saturated', () => {
    expect(nearest(...wheel(tints), WARM)).toBe(3);
    expect(nearest(...wheel(tints), [0.55, 0.42])).toBe(2);
    expect(nearest(...wheel(tints), [0.3127, 0.329])).toBe(1);
  });

  it('of a lamp that is warm itself needs no filter for warm light', () => {
    const [type, mode] = wheel(tints, { beam: { angle: 10, field: 12, temperature: 2700 } });
    expect(nearest(type, mode, besideWhite(WARM, type))).toBe(1);
    const [cold] = wheel(tints, { beam: { angle: 10, field: 12, temperature: 6500 } });
    expect(nearest(cold, mode, besideWhite(WARM, cold))).toBe(3);
  });

  it('is turned only to what its channel reaches, and to nothing where no filter is known', () => {
    const reaching = [
      {
        attribute: 'Color1',
        stretches: [
          { slot: 1, from: 0, to: 9 },
          { slot: 2, from: 10, to: 19 },
        ],
      },
    ];
    expect(nearest(...wheel(tints, {}, reaching), WARM)).toBe(2);
    expect(nearest(...wheel([{ name: 'a' }, { name: 'b' }]), WARM)).toBeUndefined();
  });

  it.each([
    [[{ name: 'red', colour: '#ff0000' }, { name: 'Open' }], 2],
    [
      [
        { name: 'amber', colour: '#ffb000' },
        { name: 'x', colour: '#fefeff' },
      ],
      2,
    ],
    [
      [
        { name: 'amber', colour: '#ffb000' },
        { name: 'red', colour: '#ff0000' },
      ],
      0,
    ],
    [[{ name: 'red', colour: '#ff0000' }, { name: 'y' }], 2],
  ] as const)('of %j is open at %i', (slots, open) => {
    expect(openSlot(...wheel(slots), 'Color1')).toBe(open);
  });

  it('of gobos is open where it is called so, or has no picture', () => {
    expect(openSlot(...wheel([{ name: 'dots' }, { name: 'No gobo' }]), 'Gobo1')).toBe(2);
    expect(openSlot(...wheel([{ name: 'dots', image: 'dots' }, { name: 'x' }]), 'Gobo1')).toBe(2);
    expect(openSlot(...wheel([{ name: 'dots' }, { name: 'x' }]), 'Gobo1')).toBe(0);
  });
});

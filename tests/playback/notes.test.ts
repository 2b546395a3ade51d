import { describe, expect, it } from 'vitest';
import { buttonNotes, compileShow } from '../../node/playback/compile.ts';
import { everybody, place, type TinyShow, tinyShow } from '../helpers/tiny-show.ts';

const of = (part: object, type = 'rgb-par', more = {}, types: Partial<TinyShow> = {}) =>
  compileShow(
    tinyShow({
      ...types,
      fixtures: [{ ...place('one', type, '3ch', 1), ...more }, place('two', type, '3ch', 11)],
      looks: [{ id: 'look', fade: 0, parts: [{ who: everybody, ...part }] as never }],
    }),
  );
const notes = (...asked: Parameters<typeof of>) => buttonNotes(of(...asked), 'look');

describe('What the lamps of a button do not do as it asks', () => {
  it('is nothing where they can', () => {
    expect(notes({ colour: '#20ff40', level: 1 })).toEqual([]);
    expect(notes({ level: 1 })).toEqual([]);
  });

  it('is a colour that they cannot reach, said once for all lamps of a kind', () => {
    // A green by laser, 532 nm: far outside what red, green and blue of sRGB make.
    expect(notes({ colour: 'xy 0.17 0.797' })).toEqual([
      'LED par, red green blue: cannot reach xy 0.17 0.797; the nearest is shown',
    ]);
    expect(notes({ colour: ['#ff0000', 'xy 0.17 0.797'] })).toHaveLength(1);
    expect(notes({ colour: '#0000ff' }, 'tunable-white-par')[0]).toMatch(/^LED par, warm and cold white: cannot reach #0000ff/);
  });

  it('is a colour that filters cannot reach', () => {
    const channels = (['Dimmer', 'ColorSub_C', 'ColorSub_M', 'ColorSub_Y'] as const).map((attribute, i) => ({
      slot: i + 1,
      functions: [{ attribute }],
    }));
    const inks = { fixtureTypes: [{ id: 'inks', name: 'Inks', modes: [{ id: '3ch', name: 'M', channels }] }] };
    expect(notes({ colour: 'xy 0.17 0.797' }, 'inks', {}, inks)).toEqual([
      'Inks: cannot reach xy 0.17 0.797; the nearest is shown',
    ]);
    expect(notes({ colour: '#20ff40' }, 'inks', {}, inks)).toEqual([]);
    expect(notes({ colour: '#ffffff', brightness: 'match' }, 'inks', {}, inks)).toEqual([]);
  });

  it('is not a difference that is seen side by side only', () => {
    expect(notes({ colour: 'xy 0.641 0.33' })).toEqual([]);
  });

  it('says that a match is a guess, unless somebody has said how bright they are', () => {
    const guess = 'their balance is guessed';
    expect(notes({ colour: '2700 K', brightness: 'match' })).toEqual([guess]);
    expect(notes({ colour: '2700 K' })).toEqual([]);
  });
});

describe('A match of unlike lamps', () => {
  const lightOf = (more: object) => {
    const { rig, items } = of({ colour: '#ffffff', brightness: 'match' }, 'rgb-par', more);
    const program = items.get('look:look')?.program;
    if (program?.kind !== 'still') throw new Error('no look');
    return rig.fixtures.map(({ lamps: [whole] }) => {
      const at = program.cells.indexOf(whole.cells.get('ColourL') ?? -1);
      // L of Oklab goes with the cube root of light.
      return (program.values[at] ?? 0) ** 3;
    });
  };

  it('takes the brighter one down to the weaker, as far as a person says that it is brighter', () => {
    const [one = 0, two = 0] = lightOf({ strength: 0.5 });
    expect(two / one).toBeCloseTo(0.5, 6);
    const [same = 0, other = 1] = lightOf({});
    expect(same / other).toBeCloseTo(1, 9);
  });

  it('turns none black, however weak another is said to be', () => {
    const [one = 0, two = 0] = lightOf({ strength: 0.05 });
    expect(two / one).toBeCloseTo(0.1, 6);
  });
});

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

  it('is said once for all kinds that miss a colour', () => {
    const two = compileShow(
      tinyShow({
        fixtures: [place('one', 'rgb-par', '3ch', 1), place('two', 'tunable-white-par', '3ch', 11)],
        looks: [{ id: 'look', fade: 0, parts: [{ who: everybody, colour: 'xy 0.17 0.797' }] }] as never,
      }),
    );
    expect(buttonNotes(two, 'look')).toEqual([
      'LED par, red green blue; LED par, warm and cold white: cannot reach xy 0.17 0.797; the nearest is shown',
    ]);
  });

  it('is a match of which a lamp falls short, since none is taken down to less than a tenth', () => {
    const stays = 'LED par, red green blue: brighter than the weakest lamp all the same; none is matched by more than ten to one';
    const guess = 'their balance is guessed';
    const matched = { colour: '#ffffff', brightness: 'match' };
    expect(notes(matched, 'rgb-par', { strength: 0.05 })).toEqual([guess, stays]);
    expect(notes(matched, 'rgb-par', { strength: 0.1 })).toEqual([guess]);
    expect(notes({ ...matched, brightness: 'best' }, 'rgb-par', { strength: 0.05 })).toEqual([]);
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
    expect(notes({ colour: '#ffffff', brightness: 'match' }, 'inks', {}, inks)).toEqual(['their balance is guessed']);
  });

  it('is a strobe that cannot be as slow as it is asked to be', () => {
    const channels = [
      { slot: 1, functions: [{ attribute: 'Dimmer' }] },
      {
        slot: 2,
        functions: [
          { attribute: 'NoFeature', from: 0, to: 9 },
          { attribute: 'Shutter1Strobe', from: 10, to: 255, physical: [3, 20] },
        ],
      },
    ];
    const types = { fixtureTypes: [{ id: 'flasher', name: 'Flasher', modes: [{ id: '3ch', name: 'M', channels }] }] };
    const slow = 'Flasher: cannot flash as slowly as 2 a second; its light stays on';
    expect(notes({ level: 1, strobe: 2 }, 'flasher', {}, types as never)).toEqual([slow]);
    expect(notes({ level: 1, attributes: { Shutter1Strobe: 2 } }, 'flasher', {}, types as never)).toEqual([slow]);
    expect(notes({ level: 1, strobe: 3 }, 'flasher', {}, types as never)).toEqual([]);
  });

  it('is a strobe where they have none, but for what gives no light', () => {
    const cannot = 'LED par, red green blue: cannot flash by itself; its light stays on';
    expect(notes({ level: 1, strobe: 3 })).toEqual([cannot]);
    expect(notes({ level: 1, attributes: { Shutter1Strobe: 3 } })).toEqual([cannot]);
    expect(notes({ level: 1, strobe: 0 })).toEqual([]);
    expect(notes({ level: 1, strobe: 3 }, 'rgb-par', { use: 'haze' })).toEqual([cannot]);
    const air = { fixtures: [{ ...place('air', 'hazer', '2ch', 1), use: 'haze' as const }] };
    const looks = [{ id: 'look', fade: 0, parts: [{ who: everybody, strobe: 3 }] }];
    expect(buttonNotes(compileShow(tinyShow({ ...air, looks })), 'look')).toEqual([]);
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

  it('dims a lamp that has no emitters, in its own light: through the filter that is in', () => {
    const channels = (['Dimmer', 'Color1'] as const).map((attribute, i) => ({
      slot: i + 1,
      functions: [{ attribute, ...(attribute === 'Color1' ? { physical: [1, 2] as [number, number] } : {}) }],
    }));
    const wheels = {
      Color1: [
        { name: 'Open', colour: '#ffffff' },
        { name: 'Red', colour: '#ff0000' },
      ],
    };
    const filtered = { id: 'filtered', name: 'Filtered', wheels, modes: [{ id: '2ch', name: 'M', channels }] };
    const lightsOf = (colour: string, strength: number) => {
      const { rig, items } = compileShow(
        tinyShow({
          fixtureTypes: [filtered as never],
          fixtures: [
            { ...place('one', 'filtered', '2ch', 1), strength },
            place('two', 'filtered', '2ch', 11),
            place('white', 'warm-white-par', '1ch', 21),
          ],
          looks: [
            {
              id: 'look',
              fade: 0,
              parts: [{ who: [{ fixture: 'one' }, { fixture: 'two' }], colour, level: 1, brightness: 'match' }],
            },
          ] as never,
        }),
      );
      const program = items.get('look:look')?.program;
      if (program?.kind !== 'still') throw new Error('no look');
      return rig.fixtures.slice(0, 2).map(({ lamps: [whole] }) => {
        const lightness = 100 * (program.values[program.cells.indexOf(whole.cells.get('Dimmer') ?? -1)] ?? 0);
        // CIE 15:2004, 8.2.1.1.
        return lightness > 8 ? ((lightness + 16) / 116) ** 3 : (27 * lightness) / 24389;
      });
    };
    for (const colour of ['#ffffff', '#ff0000']) {
      expect(lightsOf(colour, 2)[0]).toBeCloseTo(0.5, 9);
      expect(lightsOf(colour, 2)[1]).toBe(1);
      expect(lightsOf(colour, 20)[0]).toBeCloseTo(0.1, 9);
    }
  });

  it('leaves alone what is not to be compared: a plain lamp that is asked for black', () => {
    const { rig, items } = compileShow(
      tinyShow({
        fixtures: [place('par', 'rgb-par', '3ch', 1), place('plain', 'warm-white-par', '1ch', 11)],
        looks: [
          { id: 'look', fade: 0, parts: [{ who: everybody, colour: ['#ff0000', '#000000'], level: 1, brightness: 'match' }] },
        ] as never,
      }),
    );
    const program = items.get('look:look')?.program;
    if (program?.kind !== 'still') throw new Error('no look');
    const dimmer = rig.fixtures[1]?.lamps[0].cells.get('Dimmer') ?? -1;
    expect(program.values[program.cells.indexOf(dimmer)]).toBe(1);
  });

  it('says of which lamp it cannot take enough away', () => {
    const said = (strength: number) => notes({ colour: '#ffffff', brightness: 'match' }, 'rgb-par', { strength });
    expect(said(0.05)).toContain(
      'LED par, red green blue: brighter than the weakest lamp all the same; none is matched by more than ten to one',
    );
    expect(said(0.2)).toEqual(['their balance is guessed']);
  });

  it('turns none black, however weak another is said to be', () => {
    const [one = 0, two = 0] = lightOf({ strength: 0.05 });
    expect(two / one).toBeCloseTo(0.1, 6);
  });
});

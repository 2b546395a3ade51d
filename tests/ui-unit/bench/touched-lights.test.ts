import { describe, expect, it } from 'vitest';
import { abilitiesOf } from '../../../ui/src/bench/parts/abilities.ts';
import { lightsOf, toggled, withLight } from '../../../ui/src/bench/parts/lights.ts';
import { partInWords } from '../../../ui/src/bench/parts/part-words.ts';
import { whoInWords } from '../../../ui/src/bench/written.ts';
import { hall, part } from './hall.ts';

const rig = hall();

describe('Lights that are touched one by one', () => {
  it('come to those that are meant already', () => {
    expect(withLight([{ group: 'left' }], 'par-4', rig)).toEqual([{ group: 'left' }, { fixture: 'par-4' }]);
  });

  it('go from a use or a group, whose others stay, each by itself', () => {
    expect(withLight([{ use: 'uplight' }], 'par-2', rig)).toEqual([
      { fixture: 'par-1' },
      { fixture: 'par-3' },
      { fixture: 'par-4' },
    ]);
    expect(withLight([{ group: 'left' }, { fixture: 'par-2' }, { use: 'spot' }], 'par-2', rig)).toEqual([
      { fixture: 'par-1' },
      { use: 'spot' },
    ]);
  });

  it('go and come: whoever is meant is turned round by each touch, and nobody else', () => {
    for (const who of [[{ all: true } as const], [{ group: 'odd' }], [], [{ use: 'spot' as const }, { fixture: 'hazer' }]])
      for (const { id } of rig.fixtures) {
        const before = lightsOf(who, rig).map((one) => one.id);
        const after = lightsOf(withLight(who, id, rig), rig).map((one) => one.id);
        const others = (all: string[]) => all.filter((one) => one !== id);
        expect(others(after)).toEqual(others(before));
        expect(after.includes(id)).toBe(!before.includes(id));
      }
  });

  it('a light that is not there changes nothing', () => {
    expect(withLight([{ use: 'spot' }], 'gone', rig)).toEqual([{ use: 'spot' }]);
  });

  it('a choice is turned round', () => {
    expect(toggled([{ use: 'spot' }], { use: 'spot' })).toEqual([]);
    expect(toggled([{ use: 'spot' }], { group: 'left' })).toEqual([{ use: 'spot' }, { group: 'left' }]);
  });

  it('are told in few words', () => {
    expect(whoInWords([{ use: 'uplight' }, { group: 'left' }], rig)).toBe('All uplights and Left side');
    const single = ['par-1', 'par-2', 'par-3', 'par-4', 'spot-1'].map((fixture) => ({ fixture }));
    expect(whoInWords(single, rig)).toBe('Par 1, Par 2, Par 3 and 2 more');
    expect(whoInWords(single.slice(0, 4), rig)).toBe('Par 1, Par 2, Par 3 and Par 4');
    expect(whoInWords([], rig)).toBe('No lights yet');
  });
});

describe('What lights can do', () => {
  it('follows from their types: no zoom and no gobo for a lamp that has none', () => {
    const pars = abilitiesOf([{ use: 'uplight' }], rig);
    expect([pars.light, pars.colour, pars.has('Zoom'), pars.has('Gobo1'), pars.has('Pan'), pars.has('Haze1')]).toEqual([
      true,
      true,
      false,
      false,
      false,
      false,
    ]);
    expect(pars.more).toEqual([]);
    expect([pars.lights, pars.lamps]).toEqual([4, 4]);
  });

  it('is told with the ranges and the names of the types', () => {
    const spots = abilitiesOf([{ use: 'spot' }], rig);
    expect(spots.slots('Gobo1').slice(0, 3)).toEqual([
      { slot: 1, name: 'Open' },
      { slot: 2, name: 'Dots' },
      { slot: 3, name: 'Leaves' },
    ]);
    expect(spots.more).toEqual(expect.arrayContaining(['Focus1', 'Prism1', 'Gobo1PosRotate', 'Color1']));
    expect(abilitiesOf([{ use: 'beam' }], rig).range('Zoom')).toEqual([4, 45]);
    expect(abilitiesOf([{ use: 'beam' }], rig).range('Gobo1')).toBeUndefined();
  });

  it('of unlike lights is what any of them can, and of a hazer no light and no colour', () => {
    const all = abilitiesOf([{ all: true }], rig);
    expect([all.has('Zoom'), all.has('Gobo1'), all.has('Haze1'), all.colour]).toEqual([true, true, true, true]);
    const hazer = abilitiesOf([{ fixture: 'hazer' }], rig);
    expect([hazer.light, hazer.colour, hazer.has('Haze1')]).toEqual([false, false, true]);
  });
});

describe('What a part does, in words', () => {
  it('names the gobo as the type does, and the client’s colours as the client does', () => {
    expect(partInWords(part({ who: [{ use: 'spot' }], level: 0.5, colour: 'theme:rose', gobo: 3 }), rig)).toBe(
      '50 %, Rose, gobo leaves',
    );
    expect(partInWords(part({ who: [{ use: 'beam' }], aim: { pan: -20, tilt: 30 }, zoom: 12, strobe: 0 }), rig)).toBe(
      'pan −20°, tilt 30°, zoom 12°, no strobe',
    );
  });

  it('says how far what has no field of its own is in, and what is in at a place of a wheel', () => {
    const attributes = { Color1: 2, Gobo1PosRotate: 0.5, Focus1: 0.25, Prism1: 0 };
    const filter = abilitiesOf([{ use: 'spot' }], rig)
      .slots('Color1')
      .find(({ slot }) => slot === 2);
    expect(partInWords(part({ who: [{ use: 'spot' }], attributes }), rig)).toBe(
      `colour wheel ${filter?.name.toLowerCase()}, gobo turning 50 %, focus 25 %, prism out`,
    );
  });

  it('says what is dark, what is matched, and what is nothing yet', () => {
    expect(partInWords(part({ level: 0 }), rig)).toBe('dark');
    expect(partInWords(part({ colour: ['theme:rose', '2700 K'], brightness: 'match' }), rig)).toBe('Rose and 2700 K, matched');
    expect(partInWords(part({}), rig)).toBe('nothing of its own yet');
    expect(partInWords(part({ colour: 'theme:gone' }), rig)).toBe('gone, which is gone');
  });
});

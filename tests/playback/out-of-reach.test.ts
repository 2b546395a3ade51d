import { describe, expect, it } from 'vitest';
import { buttonNotes, compileShow, rigOf } from '../../node/playback/compile.ts';
import { outOfReach } from '../../node/playback/out-of-reach.ts';
import { checkShow } from '../../node/show/read.ts';
import { type Spoilable, smallShow } from '../show/small-show.ts';

const show = (colour: string) => {
  const json: Spoilable = smallShow();
  json.fixtures.push({ id: 'bulb', name: 'Bulb', type: 'dimmer', mode: '1ch', universe: 1, address: 40, use: 'centrepiece' });
  json.theme.colours.push({ id: 'asked', name: 'Asked', value: colour });
  json.looks[0].parts[0].colour = 'theme:asked';
  return checkShow(json);
};
const of = (colour: string) => {
  const own = show(colour);
  return outOfReach(own.theme, rigOf(own), colour);
};

describe('a colour that lamps cannot reach', () => {
  // Monochromatic light of 520 nm (CIE 1931 2° observer, x 0.0743 y 0.8338): no lamp of red, green and blue emitters gives it.
  const SPECTRAL_GREEN = 'xy 0.0743 0.8338';

  it('is named with those lamps, how many they are, and what they show in its place', () => {
    const [kind, ...others] = of(SPECTRAL_GREEN);
    expect(others).toEqual([]);
    expect(kind).toMatchObject({ name: rigOf(show('#ffffff')).fixtures[0]?.type.name, count: 2 });
    // The nearest is green still.
    const nearest = kind?.nearest ?? 0;
    expect((nearest >> 8) & 255).toBe(255);
    expect(Math.max(nearest >> 16, nearest & 255)).toBeLessThan(255);
  });

  it('is the one of which a button says so, and no other', () => {
    for (const colour of [SPECTRAL_GREEN, '#ffb060', '2700 K', '#ff0000', 'xy 0.17 0.01']) {
      const said = buttonNotes(compileShow(show(colour)), 'warm').some((note) => note.includes('cannot reach'));
      expect([colour, of(colour).length > 0]).toEqual([colour, said]);
    }
  });

  it('is none that makes no sense, and black is none', () => {
    expect(of('#000000')).toEqual([]);
    const own = show('#ffffff');
    expect(outOfReach(own.theme, rigOf(own), 'no such thing')).toEqual([]);
  });
});

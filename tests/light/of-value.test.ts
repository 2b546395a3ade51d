import { converter } from 'culori';
import { describe, expect, it } from 'vitest';
import { type ColourValue, parseColour } from '../../node/light/colour-value.ts';
import { oklabOf } from '../../node/light/of-value.ts';

const toOklab = converter('oklab');
const theme = (id: string): ColourValue =>
  id === 'candle' ? { kind: 'kelvin', kelvin: 2700 } : { kind: 'srgb', red: 1, green: 0, blue: 0 };
const of = (text: string) => {
  const value = parseColour(text);
  if (value === undefined) throw new Error(text);
  return oklabOf(value, theme);
};

describe('a colour as a document writes it', () => {
  it.each(['#f7e7ce', '#9caf88', '#5b6fb0', '#000000', '#ffffff', '#FF0000'])('%s is the Oklab that culori makes of it', (text) => {
    const { l, a, b } = toOklab(text);
    for (const [i, wanted] of [l, a, b].entries()) expect(of(text)[i]).toBeCloseTo(wanted, 6);
  });

  it('of a chromaticity is as bright as its hue can be', () => {
    // The chromaticity of sRGB red, IEC 61966-2-1.
    const { l, a, b } = toOklab('#ff0000');
    for (const [i, wanted] of [l, a, b].entries()) expect(of('xy 0.64 0.33')[i]).toBeCloseTo(wanted, 3);
  });

  it('of a temperature grows warmer as it falls', () => {
    const yellow = ['6500 K', '4000 K', '2700 K', '1800 K'].map((text) => of(text)[2]);
    for (const [i, one] of yellow.entries()) expect(one).toBeGreaterThan(yellow[i - 1] ?? -1);
    expect(Math.abs(of('6500 K')[2])).toBeLessThan(0.02);
  });

  it('of a theme is what the theme says', () => {
    expect(of('theme:candle')).toEqual(of('2700 K'));
  });
});

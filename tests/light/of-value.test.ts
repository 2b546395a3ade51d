import { converter } from 'culori';
import { describe, expect, it } from 'vitest';
import { type ColourValue, parseColour } from '../../node/light/colour-value.ts';
import { chromaticityOf } from '../../node/light/of-value.ts';

const toXyz = converter('xyz65');
const theme = (id: string): ColourValue =>
  id === 'candle' ? { kind: 'kelvin', kelvin: 2700 } : { kind: 'srgb', red: 1, green: 0, blue: 0 };
const of = (text: string) => {
  const value = parseColour(text);
  if (value === undefined) throw new Error(text);
  return chromaticityOf(value, theme);
};

describe('a colour as a document writes it', () => {
  it.each(['#f7e7ce', '#9caf88', '#5b6fb0', '#ffffff', '#FF0000'])('%s is the chromaticity that culori makes of it', (text) => {
    const { x: X, y: Y, z: Z } = toXyz(text);
    expect(of(text)?.[0]).toBeCloseTo(X / (X + Y + Z), 5);
    expect(of(text)?.[1]).toBeCloseTo(Y / (X + Y + Z), 5);
  });

  it('of black has none', () => {
    expect(of('#000000')).toBeUndefined();
  });

  it('of a chromaticity is that', () => {
    expect(of('xy 0.64 0.33')).toEqual([0.64, 0.33]);
  });

  it('of a temperature grows warmer as it falls', () => {
    const red = ['6500 K', '4000 K', '2700 K', '1800 K'].map((text) => of(text)?.[0] ?? 0);
    for (const [i, one] of red.entries()) expect(one).toBeGreaterThan(red[i - 1] ?? 0);
  });

  it('of a theme is what the theme says', () => {
    expect(of('theme:candle')).toEqual(of('2700 K'));
  });
});

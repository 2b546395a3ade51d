import { describe, expect, it } from 'vitest';
import { parseColour } from '../../node/light/colour-value.ts';

describe('a colour as a document writes it', () => {
  // IEC 61966-2-1: eight bits a channel, 255 is 1.
  it.each([
    ['#000000', 0, 0, 0],
    ['#ffffff', 1, 1, 1],
    ['#FF8000', 1, 128 / 255, 0],
    ['#f7e7ce', 247 / 255, 231 / 255, 206 / 255],
  ])('reads %s as sRGB', (text, red, green, blue) => {
    expect(parseColour(text)).toEqual({ kind: 'srgb', red, green, blue });
  });

  // The domain of the fit by Kang et al. 2002 for the Planckian locus: 1667 to 25000 K.
  it.each([
    ['1667 K', 1667],
    ['2700 K', 2700],
    ['2700K', 2700],
    ['25000 K', 25000],
  ])('reads %s as a colour temperature', (text, kelvin) => {
    expect(parseColour(text)).toEqual({ kind: 'kelvin', kelvin });
  });

  it.each([
    // D65 as IEC 61966-2-1 gives it.
    ['xy 0.3127 0.3290', 0.3127, 0.329],
    ['xy .64 .33', 0.64, 0.33],
    ['xy 0.0 1.0', undefined, undefined],
    ['xy 0.5 0.5', 0.5, 0.5],
  ])('reads %s as CIE 1931 xy where it is one', (text, x, y) => {
    expect(parseColour(text)).toEqual(x === undefined ? undefined : { kind: 'xy', x, y });
  });

  it('reads the name of a theme colour', () => {
    expect(parseColour('theme:dusk-blue-2')).toEqual({ kind: 'theme', id: 'dusk-blue-2' });
  });

  it.each([
    ...['', ' ', 'red', '#fff', '#ffffff ', ' #ffffff', '#gggggg', '#fffffff', 'ffffff'],
    ...['1666 K', '25001 K', '999 K', '2700', '2700 k', '2700  K', '-2700 K', '2700.5 K', '99999 K'],
    // x + y past 1, and y of nothing: no such light.
    ...['xy 0.7 0.4', 'xy 0.3 0.0', 'xy 0.31', 'xy 0,31 0,33', 'xy -0.1 0.3'],
    ...['theme:', 'theme:Dusk', 'theme: dusk', 'Theme:dusk', 'theme:dusk_blue'],
  ])('does not read "%s"', (text) => {
    expect(parseColour(text)).toBeUndefined();
  });
});

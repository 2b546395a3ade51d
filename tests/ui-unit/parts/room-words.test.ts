import { describe, expect, it } from 'vitest';
import { ColourNames } from '../../../node/light/colour-names.ts';
import { colourInWords } from '../../../node/light/colour-words.ts';
import { roomInWords } from '../../../ui/src/parts/room-words.ts';

describe('the room in words', () => {
  // Names of CSS Color 4, section 6.1, by their hexadecimal values: red, blue, orange, cyan, white, navy.
  it.each([
    [0xff0000, 'red'],
    [0x0000ff, 'blue'],
    [0xffa500, 'amber'],
    [0x00ffff, 'cyan'],
    [0xffffff, 'white'],
    [0x000080, 'blue'],
    [0x200000, 'dim red'],
    [0xffc58f, 'warm white'],
    // Pale colours as photos have them.
    [0xffd6dc, 'pale pink'],
    [0xe8b7a2, 'pale pink'],
    [0xffe0f5, 'pale pink'],
    [0xdfe8ff, 'cool white'],
    [0xd0f5d0, 'pale green'],
    [0xe8d8ff, 'pale violet'],
  ])('calls %x %s', (packed, name) => {
    expect(colourInWords(packed)).toBe(name);
  });

  it('says band by band what is lit and what is dark, and leaves out bands without lights', () => {
    const fixtures = [{ band: 'walls' }, { band: 'walls' }, { band: 'floor' }] as const;
    expect(roomInWords(fixtures, [0xff0000, 0, 0], new ColourNames([]))).toBe('Walls 1 of 2 red. Floor dark.');
    expect(roomInWords(fixtures, [0xff0000, 0x0000ff, 0xffffff], new ColourNames([]))).toBe('Walls red and blue. Floor white.');
    expect(roomInWords([], [], new ColourNames([]))).toBe('No lights in this show');
  });
});

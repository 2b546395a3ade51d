import { describe, expect, it } from 'vitest';
import { faultInWords, readColour, readCountdown, readSilence, readTempo, secondsInWords } from '../../../ui/src/bench/written.ts';
import { hall } from './hall.ts';

describe('times and tempos on the bench', () => {
  it('are read as people write them, within what a show may ask for', () => {
    expect(['1 min', '60', '60 s', '1,5 min', '90sec', '10 minutes'].map(readSilence)).toEqual([60, 60, 60, 90, 90, 600]);
    expect(['4', '11 min', 'soon', '', '-5', '1 h'].map(readSilence)).toEqual(new Array(6).fill(undefined));
    expect(['20 s', '2 min', '3 min'].map(readCountdown)).toEqual([20, 120, undefined]);
    expect(['120', '97,5', '128 bpm', '120 beats a minute', '19', '301', 'fast'].map(readTempo)).toEqual([
      120,
      97.5,
      128,
      120,
      undefined,
      undefined,
      undefined,
    ]);
  });

  it('are written so that they are read as the same again', () => {
    for (const seconds of [5, 20, 59, 60, 61, 90, 100, 120, 600]) expect(readSilence(secondsInWords(seconds))).toBe(seconds);
  });
});

describe('colours on the bench', () => {
  // Hexadecimal with three digits, and rgb() with commas or blanks: CSS Color 4, 5.1 and 5.2.
  it.each([
    ['#F7E7CE', '#f7e7ce'],
    ['f7e7ce', '#f7e7ce'],
    ['#F0C', '#ff00cc'],
    ['rgb(200, 80, 120)', '#c85078'],
    ['rgb(200 80 120)', '#c85078'],
    ['200, 80, 120', '#c85078'],
    ['247 231 206', '#f7e7ce'],
    ['200 80 256', undefined],
    ['2 700 K', '2700 K'],
    ['3200', '3200 K'],
    ['xy 0,31 0,33', 'xy 0.31 0.33'],
    ['Champagne', '#f7e7ce'],
    ['dusty rose', '#dcae96'],
    ['sea green', '#2e8b57'],
    ['no colour', undefined],
  ])('%j', (text, value) => expect(readColour(text, (word) => (word === 'seagreen' ? '#2e8b57' : undefined))).toBe(value));
});

describe('what is missing of the show itself', () => {
  it('is said by what its page calls it', () => {
    const of = { kind: 'show', id: 'hall' } as const;
    expect(faultInWords({ ...of, field: 'start', path: 'start[0].look', message: 'no look "x"' }, hall({ looks: [] }))).toBe(
      'The show starts with something that is gone',
    );
    expect(faultInWords({ ...of, field: 'fallback', path: 'fallback.look', message: 'no look "x"' }, hall({ looks: [] }))).toBe(
      'What comes without a phone is a look that is gone',
    );
  });
});

import { describe, expect, it } from 'vitest';
import { importInWords, typeInWords, typeLine } from '../../node/cli/types.ts';

const modes = [
  { id: 'one', name: 'One', channels: 1 },
  { id: 'wide', name: 'Wide', channels: 24 },
];

describe('an import in words', () => {
  it('has the id to name in a show, the modes with their sizes and what is left out', () => {
    expect(importInWords({ id: 'invented-moth', name: 'Moth', modes, left: ['Not used: presets (1)'] })).toEqual([
      '"Moth" is kept as type invented-moth',
      '  mode one: One, 1 channel',
      '  mode wide: Wide, 24 channels',
      'What of it is not used, or is taken otherwise:',
      '  Not used: presets (1)',
    ]);
  });

  it('says so when nothing is left out', () => {
    expect(importInWords({ id: 'a', name: 'A', modes: [], left: [] })).toContain('Everything in the file is used');
  });

  it('of the list is a line a type', () => {
    expect(typeLine({ id: 'invented-moth', name: 'Moth', from: 'import', modes, facts: [] })).toBe(
      'invented-moth  Moth (imported): one (1), wide (24)',
    );
  });

  it('of one type has all that is known of it, with units, and no type that is not there', () => {
    const facts = [
      { what: 'Weight', value: '12 kg' },
      { what: 'Pan', value: '540° (−270 to 270°)' },
    ];
    const row = { id: 'invented-moth', name: 'Moth', from: 'import' as const, modes, facts };
    expect(typeInWords([row], 'invented-moth')).toEqual([
      'invented-moth  Moth (imported)',
      '  mode one: One, 1 channel',
      '  mode wide: Wide, 24 channels',
      '  Weight  12 kg',
      '  Pan     540° (−270 to 270°)',
    ]);
    expect(() => typeInWords([row], 'moth')).toThrow('There is no fixture type "moth"');
  });
});

import { expect, it } from 'vitest';
import { readTable } from '../../../ui/src/bench/lights/read-table.ts';
import { mistakesIn, wholeModes } from '../../../ui/src/bench/lights/type-form.ts';

const told = (text: string) => {
  const channels = readTable(text);
  if (typeof channels === 'string') return channels;
  expect(typeof wholeModes([{ id: 'own', name: 'Own', channels }])).toBe('object');
  expect(mistakesIn({ id: 'own', name: 'Own', channels })).toEqual([]);
  return channels.map(
    ({ slot, fine, functions: [job] }) =>
      `${slot}${fine === undefined ? '' : `+${fine}`} ${job?.attribute}${job?.name === undefined ? '' : ` (${job.name})`}`,
  );
};

it('reads a list of channels as manuals have it', () => {
  expect(told('CH1: Master dimmer\nCH2: Red\nCH3: Green\nCH4: Blue\nCH5: Strobe\nCH6: Auto programs\n')).toEqual([
    '1 Dimmer',
    '2 ColorAdd_R',
    '3 ColorAdd_G',
    '4 ColorAdd_B',
    '5 Shutter1Strobe',
    '6 NoFeature (Auto programs)',
  ]);
  expect(told('1\tPan\n2\tPan fine\n3\tTilt\n4\tTilt fine\n5\tPan/Tilt speed\n6\tColour wheel\n7\tGobo rotation')).toEqual([
    '1+2 Pan',
    '3+4 Tilt',
    '5 NoFeature (Pan/Tilt speed)',
    '6 Color1',
    '7 Gobo1PosRotate',
  ]);
});

it('finds the lower byte where it stands apart, counts lines without numbers, and leaves gaps that the list has', () => {
  expect(told('Pan\nTilt\nPan fine\nTilt fine')).toEqual(['1+3 Pan', '2+4 Tilt']);
  expect(told('1 Warm white\n4. Cool white')).toEqual(['1 ColorAdd_WW', '2 NoFeature', '3 NoFeature', '4 ColorAdd_CW']);
  expect(told('R\nG\nB\nW\nA\nUV')).toEqual([
    '1 ColorAdd_R',
    '2 ColorAdd_G',
    '3 ColorAdd_B',
    '4 ColorAdd_W',
    '5 ColorAdd_RY',
    '6 ColorAdd_UV',
  ]);
});

it('tells the dimmer of one colour from that of all, and how fast it flashes from how fast it plays', () => {
  expect(
    told('Total dimming\nRed dimmer\nGreen dimming 0-100%\nBlue brightness\nWhite intensity\nStrobe speed\nAuto speed'),
  ).toEqual([
    '1 Dimmer',
    '2 ColorAdd_R',
    '3 ColorAdd_G',
    '4 ColorAdd_B',
    '5 ColorAdd_W',
    '6 Shutter1Strobe',
    '7 NoFeature (Auto speed)',
  ]);
  expect(told('RGB dimming\nDimming\nDimmer curve\nFlash rate\nSound strobe speed')).toEqual([
    '1 Dimmer',
    '2 Dimmer',
    '3 NoFeature (Dimmer curve)',
    '4 Shutter1Strobe',
    '5 NoFeature (Sound strobe speed)',
  ]);
});

it('tells how fast a strobe flashes from how bright and how long its flashes are', () => {
  expect(told('Flash rate\nFlash intensity\nFlash duration\nStrobe')).toEqual([
    '1 Shutter1Strobe',
    '2 Dimmer',
    '3 NoFeature (Flash duration)',
    '4 Shutter1Strobe',
  ]);
});

it('says which line makes no sense', () => {
  expect(told('1 Dimmer\n1 Red')).toBe('Line 2 is channel 1, but the line before it is channel 1.');
  expect(told('1 Dimmer\n2')).toBe('Line 2 says no job: “2”.');
  expect(told('600 Dimmer')).toBe('Line 1: a lamp has at most 512 channels.');
  expect(told(' \n')).toBe('Write one channel a line, such as: 1 Dimmer.');
});

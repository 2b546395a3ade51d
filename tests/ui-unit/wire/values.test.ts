import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fineOf, joined, readValue, valueWords } from '../../../ui/src/wire/values.ts';
import { channel, lamp, range } from './fixtures.ts';

/**
 * Expected words follow from the rule of GDTF (DIN SPEC 15800:2022-02, ChannelFunction: PhysicalFrom at DMXFrom, PhysicalTo at the end of
 * its range, linear between) and hand arithmetic that stands beside each row.
 */
const dimmer = channel(1, 'Dimmer', 'Brightness', [range(0, 255, 0, 1, 'level')]);
const pan = channel(1, 'Pan', 'Pan', [range(0, 255, -270, 270, 'degrees')]);
const panFine = channel(2, 'Pan', 'Pan, fine', []);
const shutter = channel(5, 'Shutter1', 'Shutter', [range(0, 31, 0, 1, 'level'), range(64, 255, 0.5, 20, 'hertz')]);
const strobe = channel(6, 'Shutter1Strobe', 'Strobe', [range(0, 0, 0, 1, 'off'), range(8, 255, 1, 20, 'hertz')]);
const gobo = channel(9, 'Gobo1', 'Gobo', [range(0, 255, 1, 8, 'slot')]);
const backwards = channel(3, 'Zoom', 'Zoom', [range(0, 255, 45, 4, 'degrees')]);

const channels = {
  brightness: dimmer,
  pan,
  'fine pan': panFine,
  shutter,
  strobe,
  gobo,
  'zoom that narrows': backwards,
  'a slot of nobody': undefined,
};
type Name = keyof typeof channels;

describe('a value in plain words', () => {
  test.each([
    ['brightness', 0, '0 %'],
    ['brightness', 255, '100 %'],
    ['brightness', 51, '20 %'], // 51 / 255
    ['pan', 0, '−270.0°'],
    ['pan', 255, '270.0°'],
    ['pan', 85, '−90.0°'], // a third of the way over 540 degrees
    ['zoom that narrows', 0, '45.0°'],
    ['zoom that narrows', 255, '4.0°'],
    ['shutter', 0, 'closed'],
    ['shutter', 31, 'open'],
    ['shutter', 32, 'between two settings'],
    ['shutter', 63, 'between two settings'],
    ['shutter', 64, '0.5 flashes a second'],
    ['shutter', 255, '20 flashes a second'],
    ['strobe', 0, 'off'],
    ['strobe', 7, 'between two settings'],
    ['strobe', 8, '1 flash a second'],
    ['strobe', 255, '20 flashes a second'],
    // 256 values over 8 places: 32 to a place
    ['gobo', 0, 'place 1'],
    ['gobo', 31, 'place 1'],
    ['gobo', 32, 'place 2'],
    ['gobo', 255, 'place 8'],
    ['fine pan', 128, '128 of 255'],
  ] as [Exclude<Name, 'a slot of nobody'>, number, string][])('%s at %i is %s', (name, byte, words) => {
    expect(valueWords(channels[name], byte)).toBe(words);
  });

  test('a low byte is part of the value: the middle of 16 bits is the middle of the span', () => {
    // 0x7FFF and 0x8000 lie on either side of the middle of 0..0xFFFF; 540 degrees / 65535 steps is less than 0.01 a step.
    expect(valueWords(pan, 0x7f, 0xff)).toBe('0.0°');
    expect(valueWords(pan, 0x80, 0x00)).toBe('0.0°');
    expect(valueWords(pan, 255, 255)).toBe('270.0°');
    expect(valueWords(pan, 0, 0)).toBe('−270.0°');
    expect(joined(255, 255)).toBe(255);
  });

  test('the low byte is found by its attribute, also where two channels share one', () => {
    const two = {
      ...lamp('b', 'Bar', 'blinder', 1, 1, 0),
      channels: [
        dimmer,
        channel(2, 'Dimmer', 'Brightness, fine', []),
        { ...dimmer, slot: 3 },
        channel(4, 'Dimmer', 'Brightness, fine', []),
        gobo,
      ],
    };
    expect(two.channels.map((one) => fineOf(two, one)?.slot)).toEqual([2, undefined, 4, undefined, undefined]);
  });

  test('of three bytes the middle one is found, and every part of a lamp has its own', () => {
    const parts = ['Red 1', 'Red 2'].flatMap((label, i) => [
      channel(1 + 3 * i, 'ColorAdd_R', label, dimmer.ranges),
      channel(2 + 3 * i, 'ColorAdd_R', `${label}, fine`, []),
      channel(3 + 3 * i, 'ColorAdd_R', `${label}, fine`, []),
    ]);
    const lampOfParts = { ...lamp('p', 'Parts', 'totem', 1, 1, 0), channels: parts };
    expect(parts.map((one) => fineOf(lampOfParts, one)?.slot)).toEqual([2, undefined, undefined, 5, undefined, undefined]);
  });
});

describe('a value as people write it', () => {
  test.each([
    ['brightness', '128', 128],
    ['brightness', ' 50 % ', 128], // 127.5, rounded up
    ['brightness', '12,5%', 32], // 31.875
    ['brightness', 'full', 255],
    ['brightness', 'off', 0],
    ['pan', '-90°', 85],
    ['pan', '−90 deg', 85],
    ['pan', '0°', 128],
    ['pan', '300°', undefined],
    ['pan', '256', undefined],
    ['strobe', '20 Hz', 255],
    ['strobe', '1 /s', 8],
    ['strobe', '0.5 Hz', undefined],
    ['gobo', 'place 2', 48], // the middle of 32..63
    ['gobo', 'place 9', undefined],
    ['a slot of nobody', '100 %', 255],
    ['brightness', '', undefined],
    ['brightness', 'bright', undefined],
  ] as [Name, string, number | undefined][])('%s "%s" is %s', (name, text, byte) => {
    expect(readValue(channels[name], text)).toBe(byte);
  });

  test('what is shown of a place of a wheel can be typed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 255 }), (byte) => {
        const words = valueWords(gobo, byte);
        expect(valueWords(gobo, readValue(gobo, words) ?? -1)).toBe(words);
      }),
    );
  });
});

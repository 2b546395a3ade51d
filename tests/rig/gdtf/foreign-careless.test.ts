import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readDescription } from '../../../node/rig/gdtf/read.ts';
import { type Asked, givesItsSlots } from './foreign-slots.ts';

/**
 * Lamps that a mobile DJ meets, as careless makers and careful ones would describe them, made from the text of GDTF, DIN SPEC 15800:2022-02, alone,
 * and their slots, worked out by hand.
 */
const nothing = {};
const dark = { level: 0 } as const;
const full = { level: 1 } as const;
const white = { level: 1, colour: '#ffffff' } as const;
const red = { level: 0.5, colour: '#ff0000' } as const;
const flash = { level: 1, strobe: 5 } as const;
const twoColours = { level: 1, colour: ['#ff0000', '#0000ff'] };

const everySlot = (count: number, value: number) => Object.fromEntries(Array.from({ length: count }, (_, i) => [i + 1, value]));
/** No lamp is reset or put out by itself. */
const keeps = (mode: string, slot: number, at: readonly [number, number]): Asked[] =>
  [nothing, full, dark].map((ask) => ({ mode, ask, gives: { [slot]: at } }));

const files: Readonly<Record<string, readonly Asked[]>> = {
  // Table 58: the first function has the channel by default, even a reset; table 60: its default is 0 where none is told.
  '67-resets-by-default': [
    ...keeps('backwards', 9, [0, 49]),
    ...keeps('lamp-off', 9, [0, 25]),
    ...keeps('reset-first', 9, [0, 239]),
    { mode: 'backwards', ask: red, gives: { 3: 47, 4: [8, 15], 5: [0, 3], 6: [250, 255], 7: [250, 255] } },
    // 16 + 4 / 12 * 183 = 77.
    { mode: 'backwards', ask: flash, gives: { 3: 255, 4: 77 } },
  ],
  '68-resets-by-words': [
    ...keeps('a', 2, [0, 49]),
    ...keeps('b', 2, [100, 100]),
    ...keeps('c', 2, [0, 0]),
    ...keeps('d', 2, [0, 199]),
    ...keeps('e', 2, [0, 249]),
    ...keeps('f', 2, [10, 255]),
    ...keeps('g', 2, [0, 99]),
  ],
  // Table 49: copies may begin at one offset, and are one part then. 5 + 4 / 19 * 250 = 57.6.
  '70-bar-of-twelve': [
    { mode: '50ch', ask: nothing, gives: { 1: 0, 2: [0, 4] } },
    { mode: '50ch', ask: red, gives: { 1: 47, 2: [0, 4], 3: 255, 4: 0, 5: 0, 6: 0, 47: 255, 48: 0, 50: 0 } },
    { mode: '50ch', ask: flash, gives: { 1: 255, 2: 57 } },
    { mode: '48ch', ask: nothing, gives: everySlot(48, 0) },
    { mode: '48ch', ask: red, gives: { 1: 47, 2: 0, 3: 0, 4: 0, 45: 47, 46: 0 } },
    { mode: '48ch', ask: twoColours, gives: { 1: 255, 3: 0, 5: 0, 7: 255, 9: 255 } },
    { mode: '12ch-shared', ask: nothing, gives: everySlot(12, 0) },
    { mode: '12ch-shared', ask: red, gives: { 1: 47, 2: 0, 5: 47, 9: 47 } },
  ],
  // Table 60: PhysicalFrom above PhysicalTo runs the other way.
  '71-inks-upside-down': [
    { ask: nothing, gives: { 3: 0, 4: 255, 5: 255, 6: 255, 7: 0, 8: 255 } },
    { ask: white, gives: { 3: 255, 4: [252, 255], 5: [252, 255], 6: [252, 255], 7: 0 } },
    { ask: red, gives: { 3: 47, 4: [252, 255], 5: [0, 5], 6: [0, 5], 7: 0 } },
  ],
  // 0.1842 of 65535 is 12071: 47 and 39. Pan 360 of 540, tilt 195 of 260 degrees: 170 and 191. 25 + 4.5 / 11.5 * 79 = 55.9. Rotation needs the wheel at 128.
  '72-hybrid-head': [
    { ask: nothing, gives: { 1: 128, 3: 128, 6: 0, 7: 0, 9: 0, 10: 0, 11: 0, 13: [0, 14], 14: [0, 9], 17: [0, 19], 22: [0, 79] } },
    { ask: full, gives: { 6: 255, 7: 255, 8: [20, 24], 22: [0, 79] } },
    { ask: red, gives: { 6: 47, 7: 39, 9: [0, 3], 10: [250, 255], 11: [250, 255], 13: [0, 14] } },
    { ask: flash, gives: { 8: 55 } },
    { ask: { level: 1, gobo: 3 }, gives: { 14: [20, 29] } },
    { ask: { level: 1, attributes: { Prism1: 1 } }, gives: { 17: [20, 255] } },
    { ask: { level: 1, attributes: { Gobo1PosRotate: 1 } }, gives: { 14: [128, 255], 15: 255, 16: 255 } },
    { ask: { level: 1, aim: { pan: 90, tilt: 65 } }, gives: { 1: 170, 3: 191 } },
  ],
  // Table 58: a channel without an offset has no slots; a dimmer that is none acts through the colours.
  '73-dimmer-without-slots': ['3ch', 'none', 'macro'].flatMap((mode): Asked[] => [
    { mode, ask: nothing, gives: { 1: 0, 2: 0, 3: 0 } },
    { mode, ask: dark, gives: { 1: 0, 2: 0, 3: 0 } },
    { mode, ask: white, gives: { 1: [245, 255], 2: [245, 255], 3: [245, 255] } },
    { mode, ask: red, gives: { 1: 47, 2: 0, 3: 0 } },
  ]),
  // 5 / 25 * 255 = 51.
  '74-plate-and-tube': [
    { ask: nothing, gives: { 1: 0, 2: 0, 4: 0, 5: 0 } },
    { ask: red, gives: { 2: 0, 4: 47, 5: 0, 6: 255, 7: 0, 8: 0 } },
    { ask: full, gives: { 1: 255, 2: 0, 4: 255, 5: 0 } },
    { ask: flash, gives: { 1: 255, 2: 51, 4: 255, 5: 51 } },
  ],
};

givesItsSlots(files);

const typeOf = (file: string) => readDescription(readFileSync(new URL(`foreign/${file}.xml`, import.meta.url), 'utf8'));

describe('The file 69-said-to-be-slow', () => {
  // Table 60: RealFade are the seconds from end to end, RealAcceleration those to full speed. A head that takes minutes would never get anywhere.
  const type = typeOf('69-said-to-be-slow');
  const paceIn = (mode: string) => type.modes.find(({ id }) => id === mode)?.channels[0]?.functions[0];

  it('is as fast as it says where that can be', () => {
    expect(paceIn('ok')).toMatchObject({ speed: 180, acceleration: 360 });
  });

  it.each(['huge', 'ms', 'acc', 'neg'])('has a speed that nobody knows in mode %s', (mode) => {
    expect(paceIn(mode)?.speed).toBeUndefined();
    expect(paceIn(mode)?.acceleration).toBeUndefined();
  });

  it('says so', () => {
    expect(type.source?.left).toContain('Pan of "Yoke_Pan" is said to take 2500 seconds; how fast it turns is not known');
  });
});

describe('What is said of a careless file', () => {
  it('is where it would have been reset, and where it stands instead', () => {
    const { source } = typeOf('67-resets-by-default');
    expect(source?.left).toContain('"Base_LampControl" resets its lamp or puts it out at 26, its default; it is kept at 0');
  });

  it('is that copies share their slots, and not that nothing drives them', () => {
    const { source } = typeOf('70-bar-of-twelve');
    expect(source?.left).toContain('Mode "12ch shared": copies of "Pixel_ColorAdd_R" share their slots; they are one part');
    expect(source?.left.filter((line) => line.includes('nothing drives it'))).toEqual([]);
  });

  it('is not that it flashes by default where it stands at no flash', () => {
    const { source } = typeOf('74-plate-and-tube');
    expect(source?.left.filter((line) => line.includes('flashes by default'))).toEqual([]);
  });
});

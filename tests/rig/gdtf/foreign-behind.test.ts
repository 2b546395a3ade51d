import { type Asked, givesItsSlots } from './foreign-slots.ts';

/**
 * Lamps with one thing behind another, made from the text of GDTF, DIN SPEC 15800:2022-02, alone, and their slots, worked out by hand. Table 58: a
 * channel works on its geometry and what hangs on that.
 */
const nothing = {};
const dark = { level: 0 } as const;
const red = { level: 0.5, colour: '#ff0000' } as const;
const flash = { level: 1, strobe: 5 } as const;
const ahead = { level: 1, aim: { pan: 0, tilt: 0 } } as const;
const aside = { level: 1, aim: { pan: 90, tilt: 45 } } as const;

const files: Readonly<Record<string, readonly Asked[]>> = {
  // Light that passes two dimmers is dimmed once: half the level is 0.1842 of the light (CIE 15), 47, behind which the inner one is open.
  '64-dimmers-in-a-row': [
    { mode: 'master-first', ask: nothing, gives: { 1: 0 } },
    { mode: 'master-first', ask: dark, gives: { 1: 0 } },
    { mode: 'master-first', ask: red, gives: { 1: 47, 2: 255, 3: 255, 4: 255, 5: 0, 6: 0 } },
    { mode: 'master-last', ask: nothing, gives: { 5: 0 } },
    { mode: 'master-last', ask: red, gives: { 1: 255, 2: 0, 3: 0, 4: 255, 5: 47 } },
    { mode: 'shuttered', ask: red, gives: { 1: 47, 2: 255, 3: [250, 255] } },
    // 10 + 4 / 19 * 239 = 60.3, and 200 + 4 / 19 * 55 = 211.6.
    { mode: 'shuttered', ask: flash, gives: { 1: 255, 2: 255, 3: 60 } },
    { mode: 'flashes', ask: red, gives: { 1: 47, 2: 199 } },
    { mode: 'flashes', ask: flash, gives: { 1: 255, 2: 211 } },
    { mode: 'two-heads', ask: nothing, gives: { 1: 0, 2: 0, 6: 0 } },
    { mode: 'two-heads', ask: red, gives: { 1: 47, 2: 255, 3: 255, 4: 0, 5: 0, 6: 255, 7: 255, 8: 0, 9: 0 } },
    { mode: 'two-heads', ask: { level: 1, colour: ['#ff0000', '#0000ff'] }, gives: { 3: 255, 4: 0, 5: 0, 7: 0, 8: 0, 9: 255 } },
    { mode: 'no-master', ask: nothing, gives: { 2: 0, 6: 0 } },
    { mode: 'no-master', ask: red, gives: { 2: 47, 3: 255, 4: 0, 5: 0, 6: 47, 7: 255, 8: 0, 9: 0 } },
    { mode: 'beside', ask: nothing, gives: { 1: 0, 2: 0 } },
    { mode: 'beside', ask: red, gives: { 1: 47, 2: 47 } },
  ],
  // Annex A: StrobeFrequency is in hertz. 5 / 25 * 255 = 51, 4 / 24 * 255 = 42.5, 4.5 / 10.2 * 255 = 112.5.
  '65-flashes-by-frequency': [
    { mode: 'three', ask: nothing, gives: { 1: 0, 2: 20, 3: 0 } },
    { mode: 'three', ask: red, gives: { 1: 47, 2: 20, 3: 0 } },
    { mode: 'three', ask: flash, gives: { 1: 255, 2: 20, 3: 51 } },
    { mode: 'by-mode', ask: nothing, gives: { 1: 0, 2: [16, 31] } },
    { mode: 'by-mode', ask: red, gives: { 1: 47, 2: [16, 31] } },
    { mode: 'by-mode', ask: flash, gives: { 1: 255, 2: [32, 63], 3: 42 } },
    { mode: 'by-master', ask: red, gives: { 1: 47, 2: [16, 63] } },
    { mode: 'by-master', ask: flash, gives: { 1: 255, 2: [128, 255], 3: 112 } },
    { mode: 'both', ask: nothing, gives: { 2: [250, 255], 3: 0 } },
    { mode: 'both', ask: flash, gives: { 2: 60, 3: 0 } },
    { mode: 'how-long', ask: flash, gives: { 1: 255, 2: 20 } },
  ],
  // 128 + 270 / 540 * 127 = 191.5, 128 + 360 / 540 * 127 = 212.7; 8 + 135 / 270 * 192 = 104, 8 + 180 / 270 * 192 = 136; 360 / 540 * 127 = 84.7.
  '66-pans-or-turns': [
    { mode: 'turn-first', ask: ahead, gives: { 1: [191, 192], 2: 128 } },
    { mode: 'turn-first', ask: aside, gives: { 1: 213, 2: 170 } },
    { mode: 'turn-first', ask: { level: 1, attributes: { PanRotate: 1 } }, gives: { 1: 127 } },
    { mode: 'no-default', ask: ahead, gives: { 1: [191, 192], 2: 104 } },
    { mode: 'no-default', ask: aside, gives: { 1: 213, 2: 136 } },
    { mode: 'pan-first', ask: nothing, gives: { 1: 64, 2: 128 } },
    { mode: 'pan-first', ask: ahead, gives: { 1: [63, 64], 2: 128 } },
    { mode: 'pan-first', ask: aside, gives: { 1: 85, 2: 170 } },
  ],
};

givesItsSlots(files);

import { type Asked, givesItsSlots } from './foreign-slots.ts';

/**
 * Lamps whose beams are lit by channels of their own, made from the text of GDTF, DIN SPEC 15800:2022-02, alone, and their slots, worked out by
 * hand. Table 58: a channel works on its geometry and what hangs on that.
 */
const nothing = {};
const dark = { level: 0 } as const;
const red = { level: 0.5, colour: '#ff0000' } as const;
const white = { level: 1, colour: '#ffffff' } as const;
const there = { level: 1, gobo: 2, aim: { pan: 90, tilt: 45 } } as const;

const files: Readonly<Record<string, readonly Asked[]>> = {
  // A ring without a dimmer is dark by its colours: no dimmer of the head reaches it. The head has its filters, the ring its mixture. Half the
  // level is 0.1842 of the light (CIE 15): 47. Pan 90 is 360 of 540 degrees, tilt 45 is 180 of 270: 170. 5 Hz: 32 + 4 / 19 * 167 = 67.2.
  '57-head-with-a-ring': [
    { mode: 'ring', ask: nothing, gives: { 1: 128, 2: 128, 3: [0, 9], 5: 0, 8: 0, 9: 0, 10: 0 } },
    { mode: 'ring', ask: dark, gives: { 5: 0, 8: 0, 9: 0, 10: 0 } },
    { mode: 'ring', ask: red, gives: { 3: [10, 19], 5: 47, 6: [200, 255], 8: 47, 9: 0, 10: 0 } },
    { mode: 'ring', ask: white, gives: { 3: [0, 9], 5: 255, 6: [200, 255], 8: [250, 255], 9: [250, 255], 10: [250, 255] } },
    { mode: 'ring', ask: { level: 1, colour: ['#ff0000', '#0000ff'] }, gives: { 3: [10, 19], 5: 255, 8: 0, 9: 0, 10: 255 } },
    { mode: 'ring', ask: there, gives: { 1: 170, 2: 170, 4: [10, 19], 5: 255 } },
    { mode: 'ring', ask: { level: 1, strobe: 5 }, gives: { 5: 255, 6: 67 } },
    { mode: 'one-dimmer', ask: nothing, gives: { 5: 0 } },
    { mode: 'one-dimmer', ask: red, gives: { 3: [10, 19], 5: 47, 8: 255, 9: 0, 10: 0 } },
    { mode: 'one-dimmer', ask: there, gives: { 1: 170, 2: 170, 4: [10, 19], 5: 255 } },
    { mode: 'two-dimmers', ask: nothing, gives: { 5: 0, 11: 0 } },
    { mode: 'two-dimmers', ask: red, gives: { 3: [10, 19], 5: 47, 8: 255, 9: 0, 10: 0, 11: 47, 12: [200, 255] } },
    { mode: 'two-dimmers', ask: { level: 1, strobe: 5 }, gives: { 6: 67, 12: 67 } },
  ],
  // Table 49: the copies begin at 5 and 8, or at 1 and 4 of the second start address.
  '58-ring-in-copies': [
    { mode: 'colours', ask: nothing, gives: { 1: 0, 5: 0, 6: 0, 7: 0, 8: 0, 9: 0, 10: 0 } },
    { mode: 'colours', ask: red, gives: { 1: 47, 2: 255, 3: 0, 4: 0, 5: 47, 6: 0, 7: 0, 8: 47, 9: 0, 10: 0 } },
    { mode: 'one-dimmer', ask: red, gives: { 1: 47, 2: 255, 3: 0, 4: 0, 5: 255, 6: 0, 7: 0, 8: 255, 9: 0, 10: 0 } },
    { mode: 'shutter', ask: nothing, gives: { 1: [0, 31], 5: 0, 6: 0, 7: 0 } },
    { mode: 'shutter', ask: red, gives: { 1: [200, 255], 5: 47, 6: 0, 7: 0, 8: 47 } },
    { mode: 'apart', ask: nothing, gives: { 1: 0 }, second: { 1: 0, 2: 0, 3: 0, 4: 0, 5: 0, 6: 0 } },
    { mode: 'apart', ask: dark, gives: { 1: 0 }, second: { 1: 0, 2: 0, 3: 0, 4: 0, 5: 0, 6: 0 } },
    { mode: 'apart', ask: red, gives: { 1: 47, 2: 255, 3: 0 }, second: { 1: 47, 2: 0, 3: 0, 4: 47, 5: 0, 6: 0 } },
  ],
  // Colours of beams of their own are one mixture all the same, and that is dimmed by itself where the dimmer is of the tube.
  '59-colours-beside-a-strobe': [
    { mode: 'tube', ask: nothing, gives: { 1: 0, 2: 0, 3: 0, 4: 0 } },
    { mode: 'tube', ask: red, gives: { 1: 47, 2: 0, 3: 0, 4: 47, 5: [200, 255] } },
    { mode: 'tube', ask: white, gives: { 1: [250, 255], 2: [250, 255], 3: [250, 255], 4: 255, 5: [200, 255] } },
    { mode: 'whole', ask: nothing, gives: { 4: 0 } },
    { mode: 'whole', ask: red, gives: { 1: 255, 2: 0, 3: 0, 4: 47 } },
    { mode: 'whole', ask: white, gives: { 1: [250, 255], 2: [250, 255], 3: [250, 255], 4: 255 } },
  ],
};

givesItsSlots(files);

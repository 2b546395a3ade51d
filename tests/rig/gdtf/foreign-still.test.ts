import { type Asked, givesItsSlots } from './foreign-slots.ts';

/** Defaults that nobody has thought of, made from the text of GDTF, DIN SPEC 15800:2022-02, alone, and their slots, worked out by hand. */
const files: Readonly<Record<string, readonly Asked[]>> = {
  // Annex A: what rotates has a speed with its direction as physical value. Nothing turns or flashes by itself: half way from -360 to 360 is 127.5,
  // in two bytes 0x7fff.8; the set that stops is 120..135. How long a flash is does not make it one. -180 to 180 over 0..199 is 99.5, and pan 90 over
  // 200..255 is 200 + 360 / 540 * 55 = 236.7. Ends that are not filled in (table 60: 0 to 1) say nothing of a stop.
  '60-turns-by-default': [
    { mode: 'zeros', ask: {}, gives: { 3: [127, 128], 4: [127, 128], 7: [0x7f, 0x80], 9: [120, 135], 10: 0, 11: 0, 12: 128 } },
    {
      mode: 'zeros',
      ask: { level: 1, gobo: 2 },
      gives: { 3: [127, 128], 4: [127, 128], 5: 255, 6: [10, 19], 7: [0x7f, 0x80], 9: [120, 135], 10: 0, 11: 0 },
    },
    { mode: 'zeros', ask: { level: 1, attributes: { PanRotate: 1, Gobo1PosRotate: 0.5 } }, gives: { 3: 255, 7: 0xbf } },
    // A head that is aimed looks somewhere at rest as well: pan 0 is 200 + 27.5.
    { mode: 'one-channel', ask: {}, gives: { 1: [227, 228] } },
    { mode: 'one-channel', ask: { level: 1, aim: { pan: 90, tilt: 0 } }, gives: { 1: 237 } },
    { mode: 'one-way', ask: {}, gives: { 1: 128, 2: 128 } },
  ],
};

givesItsSlots(files);

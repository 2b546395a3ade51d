import { type Asked, givesItsSlots } from './foreign-slots.ts';

/** More descriptions made from the text of GDTF, DIN SPEC 15800:2022-02, alone, and the slots that they should give, worked out by hand. */
const color = (slot: number) => ({ attributes: { Color1: slot } });
const nothing = {};

const files: Readonly<Record<string, readonly Asked[]>> = {
  // Table 61: the function leaves its ends out and its sets have them. 255 is dark: half the level is 0.1842 of the light (CIE 15), 5 + 0.8158 *
  // 244 = 204.1 of the sets' way. 3 Hz: 5 + 17 / 19 * 194 = 178.7, and 179 is 2.96 Hz. 30 degrees: 10 + 20 / 40 * 245 = 132.5. 90 of 360: 191.25.
  '40-told-by-sets': [
    { ask: nothing, gives: { 1: [249, 255] } },
    { ask: { level: 0 }, gives: { 1: [249, 255] } },
    { ask: { level: 0.5 }, gives: { 1: 204 } },
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: [0, 5], 2: [0, 5], 3: 255, 4: 0 } },
    { ask: { level: 1, colour: '#00ff00' }, gives: { 1: [0, 5], 2: [249, 255], 3: 0, 4: 0 } },
    { mode: 'fog', ask: nothing, gives: { 1: [249, 255] } },
    { mode: 'fog', ask: { level: 1 }, gives: { 1: [249, 255] } },
    { mode: 'fog', ask: { attributes: { Fog1: 1 } }, gives: { 1: [0, 5] } },
    { mode: 'strobe', ask: { level: 1 }, gives: { 2: [0, 4] } },
    { mode: 'strobe', ask: { level: 1, strobe: 3 }, gives: { 2: 179 } },
    { mode: 'strobe', ask: { level: 1, strobe: 20 }, gives: { 2: 5 } },
    { mode: 'angles', ask: { zoom: 30 }, gives: { 2: [132, 133] } },
    { mode: 'angles', ask: { zoom: 50 }, gives: { 2: [0, 10] } },
    { mode: 'angles', ask: { attributes: { Iris: 0 } }, gives: { 3: [170, 255] } },
    { mode: 'angles', ask: { aim: { pan: 90, tilt: 0 } }, gives: { 4: 191 } },
  ],
  // The dimmer has 0..189, the strobe 190..239: 0.1842 of 189 is 34.8, and 3 Hz 190 + 2 / 24 * 49 = 194.1. The second mode has the dimmer in
  // 128..255: 128 + 0.1842 * 127 = 151.4, and 64 + 2 / 24 * 63 = 69.3. In the third what plays by itself stays off: colours work only then.
  '41-battery-uplight': [
    { ask: nothing, gives: { 1: 0, 7: 0 } },
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: 189, 2: 255, 3: 0, 4: 0, 5: 0, 6: 0, 7: 0 } },
    { ask: { level: 0.5, colour: '#00ff00' }, gives: { 1: 35, 2: 0, 3: 255, 4: 0, 5: 0, 6: 0 } },
    { ask: { level: 1, strobe: 3 }, gives: { 1: 194 } },
    { mode: '7ch-b', ask: nothing, gives: { 1: [0, 9] } },
    { mode: '7ch-b', ask: { level: 0.5 }, gives: { 1: 151 } },
    { mode: '7ch-b', ask: { level: 1, strobe: 3 }, gives: { 1: 69 } },
    { mode: '8ch', ask: nothing, gives: { 1: 0, 2: [0, 9], 7: [0, 9], 8: 100 } },
    {
      mode: '8ch',
      ask: { level: 0.5, colour: '#0000ff' },
      gives: { 1: 47, 2: [0, 9], 3: 0, 4: 0, 5: 255, 6: 0, 7: [0, 9], 8: 100 },
    },
    { mode: '8ch', ask: { level: 1, strobe: 3 }, gives: { 1: 255, 2: 30 } },
  ],
  // The dimmer of the whole takes all down, 0.1842 of 255 or of 65535 (0x2f27), and those of the cells let it through.
  '42-cells-with-dimmers': [
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: 255, 2: 255, 3: 255, 4: 0, 5: 0, 14: 255, 15: 255, 16: 0, 17: 0 } },
    { ask: { level: 0.5, colour: ['#ff0000', '#0000ff'] }, gives: { 1: 47, 2: 255, 3: 255, 5: 0, 6: 255, 7: 0, 9: 255 } },
    { ask: { level: 0 }, gives: { 1: 0 } },
    { mode: 'wide', ask: { level: 0.5 }, gives: { 1: 0x2f, 2: [0x20, 0x2e], 3: 255, 4: 255, 18: 255, 19: 255 } },
    { mode: 'strobe', ask: { level: 1, strobe: 3 }, gives: { 1: 255, 2: 41, 3: 255 } },
    { mode: 'strobe', ask: { level: 1 }, gives: { 2: [0, 15] } },
  ],
  // Filters mix, so both wheels, the wheel of effects and the prism stay open. 3 Hz: 64 + 2 / 16 * 63 = 71.9. Half of 180 degrees a second:
  // 128 + 270 / 360 * 127 = 223.3.
  '43-three-ways-to-colour': [
    { ask: nothing, gives: { 1: 0, 2: 48, 3: 0, 4: 0, 5: 0, 6: 0, 7: [0, 19], 8: [0, 19], 9: 0, 10: 128, 11: [0, 49], 12: 0 } },
    {
      ask: { level: 0.5, colour: '#ff0000' },
      gives: { 1: 47, 3: 0, 4: 255, 5: 255, 6: 0, 7: [0, 19], 8: [0, 19], 9: 0, 11: [0, 49] },
    },
    { ask: { level: 1, strobe: 3 }, gives: { 1: 255, 2: 71 } },
    { ask: { level: 1, attributes: { Shutter1: 0 } }, gives: { 2: [0, 31] } },
    { ask: { level: 1, attributes: { Color2: 2 } }, gives: { 7: [0, 19], 8: [20, 39] } },
    { ask: { level: 1, attributes: { CTO: 1 } }, gives: { 6: 255 } },
    { ask: { level: 1, attributes: { Prism1: 1, Prism1PosRotate: 0.5 } }, gives: { 11: [50, 199], 12: 223 } },
  ],
  // Annex A: Color1WheelSpin turns the wheel, and so do sets that name no slot.
  '44-wheel-that-spins': [
    { ask: nothing, gives: { 1: 0, 2: [0, 15] } },
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: 255, 2: [16, 31] } },
    { ask: { level: 1, ...color(3) }, gives: { 2: [32, 47] } },
    { mode: 'names', ask: nothing, gives: { 2: [0, 9] } },
    { mode: 'names', ask: { level: 1, colour: '#ff0000' }, gives: { 2: [16, 25] } },
    { mode: 'names', ask: color(3), gives: { 2: [32, 41] } },
    { mode: 'spin-first', ask: { level: 1, colour: '#ffffff' }, gives: { 2: [128, 159] } },
    { mode: 'spin-first', ask: { level: 1, colour: '#ff0000' }, gives: { 2: [160, 191] } },
  ],
  // What switches a lamp or starts it anew is never driven off its default. 3 Hz: 16 + 2 / 9 * 223 = 65.6.
  '45-lamp-that-is-switched': [
    { ask: nothing, gives: { 1: 0, 2: 40, 3: [0, 15] } },
    { ask: { level: 0 }, gives: { 1: 0, 2: 40, 3: [0, 15] } },
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: 255, 2: 40, 3: [0, 15] } },
    { ask: { level: 1, strobe: 3 }, gives: { 2: 40, 3: 65 } },
    { ask: { level: 1, strobe: 25 }, gives: { 2: 40, 3: 239 } },
    { mode: 'two', ask: nothing, gives: { 1: 0, 2: 128, 3: 7, 4: 255, 5: 0x30, 6: 0x39 } },
    { mode: 'two', ask: { level: 1, strobe: 3 }, gives: { 1: 255, 2: 128, 3: 7, 4: 255, 5: 0x30, 6: 0x39 } },
  ],
  // Table 60: emitters of the second address work by a channel there, and that by one of the first.
  '46-masters-over-two-addresses': [
    { ask: nothing, gives: { 1: 0 }, second: { 5: 0 } },
    {
      ask: { level: 0.5, colour: '#ff0000' },
      gives: { 1: 47, 2: [100, 255] },
      second: { 1: [128, 255], 2: 255, 3: 0, 4: 0, 5: 47 },
    },
  ],
  // Table 1: values of more bytes than a channel has lose their lower ones, with an s and without.
  '47-forms-of-values': [
    { ask: nothing, gives: { 1: 0, 2: 0, 3: 255, 4: 255, 5: 0, 6: 128, 7: 128, 8: 128, 10: 128, 11: 64, 12: 0 } },
    { ask: { level: 0.5 }, gives: { 1: 0x2f, 2: [0x20, 0x2e] } },
    { ask: { gobo: 1 }, gives: { 10: [0, 63] } },
    { ask: { gobo: 2 }, gives: { 10: [64, 127] } },
    { ask: { gobo: 3 }, gives: { 10: [128, 255] } },
    { ask: { attributes: { Gobo2: 3 } }, gives: { 11: [128, 255] } },
    { ask: { attributes: { Gobo2: 1 } }, gives: { 11: [0, 63] } },
  ],
  // Bells at 630, 525, 455, 555 and 595 nm, weighed by the fit of Wyman, Sloan and Shirley to the CIE 1931 observer: the most light in these
  // colours by linear programming (SciPy, HiGHS) is, of 255, red 255, 0, 4.2, 5.7, 255; green 0, 255, 8.1, 250.3, 0; 2700 K 255, 72.3, 33.9, 255, 255.
  '48-lime-by-spectra': [
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: 255, 2: 255, 3: [0, 1], 4: [3, 6], 5: [4, 7], 6: 255 } },
    { ask: { level: 1, colour: '#00ff00' }, gives: { 2: [0, 1], 3: 255, 4: [7, 9], 5: [248, 252], 6: [0, 1] } },
    { ask: { level: 1, colour: '2700K' }, gives: { 2: 255, 3: [71, 75], 4: [32, 36], 5: 255, 6: 255 } },
  ],
  // Two functions of one attribute that go on where the other ends. 3 Hz: 20 + 2.5 / 4.5 * 99 = 75; 15 Hz: 120 + 10 / 20 * 129 = 184.5. In the
  // second 15 Hz are 20 + 10 / 20 * 99 = 69.5, 1 Hz 120 + 1 / 1.8 * 135 = 195, and 3 Hz lie between: 2 are the next slower. In the third the
  // second function has nothing that the first has not: 3 Hz are 20 + 2 / 19 * 129 = 33.6.
  '49-slow-strobe-and-fast': [
    { ask: { level: 1 }, gives: { 1: 255, 2: [10, 19] } },
    { ask: { level: 1, strobe: 3 }, gives: { 2: 75 } },
    { ask: { level: 1, strobe: 15 }, gives: { 2: 184 } },
    { mode: 'fast-first', ask: { level: 1, strobe: 15 }, gives: { 2: 69 } },
    { mode: 'fast-first', ask: { level: 1, strobe: 1 }, gives: { 2: 195 } },
    { mode: 'fast-first', ask: { level: 1, strobe: 3 }, gives: { 2: 120 } },
    { mode: 'again', ask: { level: 1, strobe: 3 }, gives: { 2: 33 } },
  ],
};

givesItsSlots(files);

import { type Asked, givesItsSlots } from './foreign-slots.ts';

/** Lamps as they are common at parties, made from the text of GDTF, DIN SPEC 15800:2022-02, alone, and their slots, worked out by hand. */
const nothing = {};
const red = { level: 0.5, colour: '#ff0000' } as const;
const white = { level: 1, colour: '#ffffff' } as const;
const flash = { level: 1, strobe: 3 } as const;

const files: Readonly<Record<string, readonly Asked[]>> = {
  // Table 60: dimmer and colours work only while no program plays, whatever the default. Half the level is 0.1842 of the light (CIE 15): 47.
  // 3 Hz: 6 + 2.5 / 19.5 * 249 = 37.9, and 37 is not faster.
  '50-bar-of-pars': ['manual', 'shows-itself', 'speed']
    .flatMap((mode): Asked[] => [
      { mode, ask: nothing, gives: { 1: [0, 7], 2: 0, 3: [0, 5] } },
      { mode, ask: { level: 0 }, gives: { 1: [0, 7], 2: 0, 3: [0, 5] } },
      { mode, ask: white, gives: { 1: [0, 7], 2: 255, 3: [0, 5], 4: [250, 255], 5: [250, 255], 6: [250, 255], 15: [250, 255] } },
      { mode, ask: red, gives: { 1: [0, 7], 2: 47, 3: [0, 5], 4: 255, 5: 0, 6: 0, 13: 255, 14: 0, 15: 0 } },
      { mode, ask: flash, gives: { 1: [0, 7], 2: 255, 3: 37 } },
    ])
    .concat(
      { mode: 'dimmer-alone', ask: nothing, gives: { 1: [0, 7], 2: 0 } },
      { mode: 'dimmer-alone', ask: { level: 0 }, gives: { 1: [0, 7], 2: 0 } },
      { mode: 'dimmer-alone', ask: red, gives: { 1: [0, 7], 2: 47, 4: 255, 5: 0, 6: 0 } },
    ),
  // The ring has nothing but a shutter, and the motor turns one way below its stop and the other above it. 3 Hz: 10 + 2 / 19 * 229 = 34.1, and
  // of the ring 10 + 2 / 19 * 239 = 35.2. 90 degrees of 180 over 5..127: 66.
  '51-derby': [
    { ask: nothing, gives: { 1: 0, 2: 0, 3: 0, 4: [0, 9], 5: [0, 4], 6: [0, 9] } },
    { ask: { level: 0 }, gives: { 1: 0, 2: 0, 3: 0, 5: [0, 4], 6: [0, 9] } },
    { ask: white, gives: { 1: [250, 255], 2: [250, 255], 3: [250, 255], 4: [0, 9], 5: [0, 4], 6: [250, 255] } },
    { ask: red, gives: { 1: 47, 2: 0, 3: 0, 4: [0, 9], 5: [0, 4] } },
    { ask: flash, gives: { 4: 34, 6: 35 } },
    { ask: { level: 1, attributes: { PanRotate: 1 } }, gives: { 5: 255 } },
    { ask: { level: 1, aim: { pan: 90, tilt: 0 } }, gives: { 5: 66 } },
    { mode: 'turns', ask: nothing, gives: { 1: 0, 2: 0, 3: 0, 5: [128, 133], 6: [0, 9] } },
    { mode: 'turns', ask: white, gives: { 5: [128, 133] } },
    { mode: 'turns', ask: { level: 1, attributes: { PanRotate: 1 } }, gives: { 5: 0 } },
    { mode: 'other-way', ask: nothing, gives: { 5: [200, 255] } },
    { mode: 'other-way', ask: { level: 1, attributes: { PanRotate: 1 } }, gives: { 5: 0 } },
  ],
  // The dimmer has 8..134: 8 + 0.1842 * 126 = 31.2. 3 Hz: 135 + 2 / 17 * 104 = 147.2. Pan 90 is 360 of 540 degrees, 0xaaaa; the other way
  // round 180 of them, 85. Tilt 45 is 135 of 180, 0xbfff. The speed of both stays where the file has it.
  '52-small-head': [
    { ask: nothing, gives: { 1: 128, 2: [0, 128], 3: 128, 5: 0, 6: [0, 9], 7: [0, 7], 8: [0, 8], 9: [0, 7], 10: [0, 199] } },
    { ask: { level: 0 }, gives: { 8: [0, 8], 9: [0, 7] } },
    { ask: white, gives: { 5: 0, 6: [0, 9], 7: [0, 7], 8: [134, 255], 9: [0, 7], 10: [0, 199] } },
    { ask: red, gives: { 6: [10, 19], 8: 31, 9: [0, 7] } },
    { ask: { level: 0.5, colour: '#0000ff' }, gives: { 6: [30, 39] } },
    { ask: flash, gives: { 8: 147 } },
    { ask: { gobo: 3 }, gives: { 7: [16, 23] } },
    { ask: { aim: { pan: 90, tilt: 45 } }, gives: { 1: 0xaa, 2: 0xaa, 3: 0xbf, 4: 0xff, 5: 0, 9: [0, 7] } },
    { mode: 'macro-first', ask: nothing, gives: { 1: [127, 128], 2: 128, 3: 255, 4: [0, 8], 5: [0, 9], 6: [0, 7] } },
    {
      mode: 'macro-first',
      ask: { ...red, aim: { pan: 90, tilt: 45 } },
      gives: { 1: 85, 2: 191, 3: 255, 4: 31, 5: [10, 19], 6: [0, 7] },
    },
    { mode: 'macro-first', ask: flash, gives: { 4: 147, 5: [0, 9] } },
  ],
  // UV is no part of a colour. Table 61: a strobe is as fast as its set says, off below it: 3 Hz are 10 + 2 / 14 * 245 = 45, and where it is open
  // from 250 on 10 + 2 / 14 * 239 = 44.1.
  '53-uv-and-colours': [
    { ask: nothing, gives: { 1: 0, 2: 0, 3: 0, 4: 0 } },
    { ask: white, gives: { 1: [250, 255], 2: [250, 255], 3: [250, 255], 4: 0 } },
    { ask: red, gives: { 1: 47, 2: 0, 3: 0, 4: 0 } },
    { ask: { attributes: { ColorAdd_UV: 1 } }, gives: { 1: 0, 2: 0, 3: 0, 4: 255 } },
    { ask: { level: 0, attributes: { ColorAdd_UV: 0.5 } }, gives: { 1: 0, 4: [47, 128] } },
    { mode: '6ch', ask: nothing, gives: { 1: 0, 2: [0, 9], 3: 0 } },
    { mode: '6ch', ask: white, gives: { 1: 255, 2: [0, 9], 3: 0, 4: [250, 255], 6: [250, 255] } },
    { mode: '6ch', ask: red, gives: { 1: 47, 2: [0, 9], 3: 0, 4: 255, 5: 0, 6: 0 } },
    { mode: '6ch', ask: flash, gives: { 1: 255, 2: 45 } },
    { mode: '6ch', ask: { level: 1, attributes: { ColorAdd_UV: 1 } }, gives: { 1: 255, 3: 255 } },
    { mode: '6ch', ask: { level: 0, attributes: { ColorAdd_UV: 1 } }, gives: { 1: [0, 255] } },
    { mode: 'off-first', ask: nothing, gives: { 1: 0, 2: [0, 9] } },
    { mode: 'off-first', ask: flash, gives: { 1: 255, 2: 45 } },
    { mode: 'off-of-25', ask: flash, gives: { 1: 255, 2: 44 } },
    { mode: 'off-of-25', ask: { level: 1 }, gives: { 1: 255, 2: [0, 9] } },
    { mode: 'off-silent', ask: flash, gives: { 1: 255, 2: 45 } },
    { mode: 'full', ask: nothing, gives: { 1: 0, 2: 0, 3: 0, 4: 0 } },
    { mode: 'full', ask: { level: 0 }, gives: { 1: 0, 2: 0, 3: 0, 4: 0 } },
    { mode: 'full', ask: white, gives: { 1: [250, 255], 4: 0 } },
    { mode: 'uv-dims', ask: nothing, gives: { 4: [0, 10] } },
    { mode: 'uv-dims', ask: white, gives: { 1: [250, 255], 4: [0, 10] } },
    { mode: 'uv-dims', ask: { attributes: { ColorAdd_UV: 1 } }, gives: { 4: 255 } },
  ],
  // Table 60: the dimmer is a square where the channel of its curve stands by default: the root of 0.1842 is 0.4292 of 255. 3 Hz over 8..255
  // from 20 to 1: 8 + 17 / 19 * 247 = 229.
  '54-uplight-with-curves': [
    { ask: nothing, gives: { 1: 0, 7: [0, 7], 8: 70 } },
    { ask: { level: 0 }, gives: { 1: 0, 8: 70 } },
    { ask: white, gives: { 1: 255, 7: [0, 7], 8: 70 } },
    { ask: red, gives: { 1: 47, 2: 255, 3: 0, 4: 0, 5: 0, 6: 0, 7: [0, 7], 8: 70 } },
    { ask: flash, gives: { 1: 255, 7: 229, 8: 70 } },
    { mode: 'curves', ask: nothing, gives: { 1: 0, 7: 70 } },
    { mode: 'curves', ask: white, gives: { 1: 255, 7: 70 } },
    { mode: 'curves', ask: red, gives: { 1: 109, 2: 255, 3: 0, 6: 0, 7: 70 } },
  ],
  // Front and ground are two parts of one dimmer, the zones let through; colours of the maker's own names stay at their defaults.
  '55-zones-and-ground': [
    { ask: nothing, gives: { 1: 0, 2: [0, 5], 3: [0, 9] } },
    { ask: { level: 0 }, gives: { 1: 0, 3: [0, 9] } },
    { ask: white, gives: { 1: 255, 3: [0, 9], 4: [250, 255], 5: [250, 255], 10: 255, 13: 255 } },
    { ask: red, gives: { 1: 47, 2: [0, 5], 3: [0, 9], 4: 255, 5: 0, 6: 0, 8: 0, 9: 0, 10: 255, 13: 255 } },
    { ask: flash, gives: { 1: 255, 2: 37, 3: [0, 9] } },
    { mode: 'own-names', ask: nothing, gives: { 1: 0, 7: 20, 8: 20, 9: 20 } },
    { mode: 'own-names', ask: red, gives: { 1: 47, 4: 255, 5: 0, 6: 0, 7: 20, 8: 20, 9: 20 } },
  ],
  // Nothing makes haze by itself, whatever its default, and light is no haze. 10 + 0.5 * 245 = 132.5; 3 Hz: 16 + 2 / 19 * 239 = 41.2.
  '56-haze-on-and-off': [
    { ask: nothing, gives: { 1: [0, 9], 2: 128 } },
    { ask: { level: 1 }, gives: { 1: [0, 9], 2: 128 } },
    { ask: { haze: 1 }, gives: { 1: 255 } },
    { ask: { haze: 0.5 }, gives: { 1: [132, 133] } },
    { ask: { haze: 0 }, gives: { 1: [0, 10] } },
    { mode: 'switch', ask: nothing, gives: { 1: [0, 127] } },
    { mode: 'switch', ask: { haze: 1 }, gives: { 1: [128, 255] } },
    { mode: 'switch', ask: { haze: 0 }, gives: { 1: [0, 127] } },
    { mode: 'switch-fns', ask: nothing, gives: { 1: [0, 127] } },
    { mode: 'switch-fns', ask: { haze: 1 }, gives: { 1: [128, 255] } },
    { mode: 'names-only', ask: nothing, gives: { 1: [0, 5], 2: 255 } },
    { mode: 'names-only', ask: { haze: 1 }, gives: { 1: 255 } },
    { mode: 'three', ask: nothing, gives: { 1: [0, 50] } },
    { mode: 'three', ask: { attributes: { Fog1: 1 } }, gives: { 1: [51, 200] } },
    { mode: 'three', ask: { attributes: { Fog1: 0 } }, gives: { 1: [0, 50] } },
    { mode: 'with-lamp', ask: nothing, gives: { 1: 0, 2: 0, 3: 0, 4: 0, 5: [0, 15] } },
    { mode: 'with-lamp', ask: red, gives: { 1: 0, 2: 47, 3: 0, 4: 0 } },
    { mode: 'with-lamp', ask: flash, gives: { 1: 0, 5: 41 } },
  ],
};

givesItsSlots(files);

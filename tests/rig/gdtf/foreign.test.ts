import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { Levels } from '../../../node/core/levels.ts';
import { Encoder } from '../../../node/dmx/encode.ts';
import { footprint } from '../../../node/rig/fixture-type.ts';
import { readDescription } from '../../../node/rig/gdtf/read.ts';
import { Offline, press } from '../../helpers/offline.ts';
import { everybody, place, tinyShow } from '../../helpers/tiny-show.ts';

/**
 * Descriptions as different makers would write them, made from the text of GDTF, DIN SPEC 15800:2022-02, without regard to how they would be
 * read here; and the slots that they should give, worked out by hand. A range is any value within a set.
 */
type Part = NonNullable<Parameters<typeof tinyShow>[0]['looks']>[number]['parts'][number];
type Slots = Readonly<Record<number, number | readonly [least: number, most: number]>>;
interface Asked {
  readonly mode?: string;
  readonly ask: Omit<Part, 'who'>;
  readonly gives: Slots;
  /** Of the universe of the second start address. */
  readonly second?: Slots;
}

const color = (slot: number) => ({ attributes: { Color1: slot } });
const nothing = {};

const files: Readonly<Record<string, readonly Asked[]>> = {
  // Table 61: a set ends before the next one begins. Table 1: 8/1 in two bytes is 8 * 257.
  '01-uneven-wheel': [
    { ask: nothing, gives: { 1: 0, 2: [0, 7] } },
    { ask: color(1), gives: { 2: [0, 7] } },
    { ask: color(2), gives: { 2: [8, 29] } },
    { ask: color(3), gives: { 2: [30, 31] } },
    { ask: color(4), gives: { 2: [32, 99] } },
    { ask: { colour: '#00ff00', level: 1 }, gives: { 1: 255, 2: [30, 31] } },
    // 30 * 257 = 7710 = 0x1e1e, and the last value before 32 * 257 = 8224 = 0x2020.
    { mode: 'wide', ask: color(3), gives: { 3: [0x1e, 0x20] } },
    { mode: 'wide', ask: color(2), gives: { 3: [0x08, 0x1e] } },
  ],
  // Tables 58 and 60: what is active by default is the initial function, at its default.
  '02-open-in-the-middle': [
    { ask: nothing, gives: { 2: 150, 3: 0, 4: 177 } },
    // A level is a lightness (CIE 15): 60 is ((60 + 16) / 116)³ of the light, 0.2812.
    { ask: { level: 0.6 }, gives: { 1: 72, 2: 150, 3: 0, 4: 177 } },
    { ask: color(1), gives: { 2: [20, 69] } },
    { ask: color(3), gives: { 2: [130, 199] } },
    { ask: { colour: '#ffffff' }, gives: { 2: [130, 199] } },
    { ask: { colour: '#ff0000' }, gives: { 2: [70, 129] } },
  ],
  // Table 61 counts from 1; the names of the sets say that this file counts from 0.
  '03-slots-from-zero': [
    { ask: { gobo: 1 }, gives: { 1: [0, 49] } },
    { ask: { gobo: 2 }, gives: { 1: [50, 59] } },
    { ask: { gobo: 3 }, gives: { 1: [60, 199] } },
    { ask: { gobo: 4 }, gives: { 1: [200, 255] } },
  ],
  // Table 61: physical values of a set; data version 1.0 has the default on the channel.
  '04-slots-by-physical-value': [
    { ask: nothing, gives: { 1: 5 } },
    { ask: color(1), gives: { 1: [0, 39] } },
    { ask: color(2), gives: { 1: 60 } },
    { ask: color(3), gives: { 1: [240, 255] } },
  ],
  // Annex A: Gobo1 selects, Gobo1SelectShake shakes, Gobo1Pos is an angle, Gobo1PosRotate a speed. 720 degrees a second is the greatest.
  '05-gobo-index-and-rotation': [
    { ask: nothing, gives: { 1: 4, 2: 64 } },
    { ask: { gobo: 1 }, gives: { 1: [0, 9] } },
    { ask: { gobo: 2 }, gives: { 1: [10, 19], 2: 64 } },
    { ask: { gobo: 3 }, gives: { 1: [20, 29] } },
    { ask: { attributes: { Gobo1PosRotate: 1 } }, gives: { 2: 129 } },
  ],
  // Table 61: physical 0 is closed and 1 is open, whatever a set is called.
  // 6 Hz: 96 + (6 - 1) / 20 * (176 - 96) = 116.
  '06-shutter-by-physical-meaning': [
    { ask: { level: 1 }, gives: { 1: [16, 95], 2: 255 } },
    { ask: { level: 1, attributes: { Shutter1: 0 } }, gives: { 1: [0, 15] } },
    { ask: { level: 1, strobe: 6 }, gives: { 1: 116 } },
    { ask: { level: 1, strobe: 21 }, gives: { 1: 176 } },
  ],
  // Turning needs a prism that is in (table 60, ModeMaster): -100 to 100 over 0..255, so half is 191.25.
  '07-prism-in-and-out': [
    { ask: nothing, gives: { 1: [0, 20], 2: 128 } },
    { ask: { attributes: { Prism1: 1 } }, gives: { 1: [21, 100] } },
    { ask: { attributes: { Prism1: 2 } }, gives: { 1: [101, 180] } },
    { ask: { attributes: { Prism1: 2, Prism1PosRotate: 0.5 } }, gives: { 1: [101, 180], 2: 191 } },
    { ask: { attributes: { Prism1PosRotate: 0.5 } }, gives: { 1: [21, 180], 2: 191 } },
    { mode: 'lone', ask: nothing, gives: { 1: [0, 127] } },
    { mode: 'lone', ask: { attributes: { Prism1: 1 } }, gives: { 1: [128, 255] } },
  ],
  // Table 60: emitters work in one mode of the colour channel, and that only by wire.
  '08-masters-in-a-chain': [
    { ask: { colour: '#ff0000', level: 1 }, gives: { 1: 255, 2: 0, 3: 0, 4: [100, 255], 5: [128, 255], 6: 255 } },
    // A lightness of 20 is 0.0299 of the light.
    { ask: { colour: '#0000ff', level: 0.2 }, gives: { 1: 0, 2: 0, 3: 255, 4: [100, 255], 5: [128, 255], 6: 8 } },
  ],
  // Table 58 and 49: channels of break 2 count from the second start address.
  '09-two-start-addresses': [
    { ask: nothing, gives: { 1: 128, 2: 0, 3: 0 }, second: { 1: [250, 255], 3: 255, 4: [250, 255], 6: 255 } },
    { ask: { colour: '#ff0000', level: 1 }, gives: { 3: 255 }, second: { 1: 255, 2: 0, 3: 0, 4: 255, 5: 0, 6: 0 } },
  ],
  // A Y of 1 on every emitter is nothing that anybody has measured; with the light of annex B all three at full make D65 to a hair.
  '10-placeholder-strengths': [
    { ask: { colour: '#ffffff', level: 1 }, gives: { 1: [250, 255], 2: [250, 255], 3: [250, 255] } },
    { ask: { colour: '#ff0000', level: 1 }, gives: { 1: 255, 2: 0, 3: 0 } },
  ],
  // Table 60: mixing works only while the wheel is open.
  '11-mixing-while-the-wheel-is-open': [
    { ask: { colour: '#ff0000', level: 1 }, gives: { 1: [64, 127], 2: 255, 3: 0, 4: 0, 5: 255 } },
    { ask: { level: 1 }, gives: { 1: [64, 127], 5: 255 } },
    { ask: { level: 1, ...color(3) }, gives: { 1: [128, 255], 5: 255 } },
  ],
  // 21845 = 0x5555, 32768 = 0x8000: the defaults of the file. A dimmer rests dark, whatever its default. 90 degrees of 540: 43690 = 0xaaaa.
  '12-head-that-rests-aside': [
    { ask: nothing, gives: { 1: 0x55, 2: 0x55, 3: 0x80, 4: 0x00, 5: 0 } },
    { ask: { aim: { pan: 90, tilt: 81 } }, gives: { 1: 0xaa, 2: 0xaa, 3: 0x33, 4: 0x33 } },
  ],
  '13-commas-and-capitals': [
    { ask: nothing, gives: { 1: 0, 2: 200, 3: 33 } },
    // A lightness of 40 is 0.1125 of the light.
    { ask: { level: 0.4 }, gives: { 1: 29, 2: 200, 3: 33 } },
  ],
  // 255/1s in two bytes is 65280; the high byte lies in slot 2. Half way from 45 to 6 is 25.5: 32767.5. Iris 1 to 0 over 0..191.
  '14-zoom-backwards': [
    { ask: nothing, gives: { 2: 255, 1: 0, 3: 0 } },
    { ask: { zoom: 6 }, gives: { 2: 255, 1: 255 } },
    { ask: { zoom: 45 }, gives: { 2: 0, 1: 0 } },
    { ask: { zoom: 25.5 }, gives: { 2: 128, 1: 0 } },
    { ask: { attributes: { Iris: 0 } }, gives: { 3: 191 } },
  ],
  // Table 49: cells begin at 11, 3 and 7; within a cell green, blue, red.
  '15-cells-out-of-order': [
    {
      ask: { colour: ['#ff0000', '#00ff00', '#0000ff'], level: 1 },
      gives: { 1: 255, 11: 0, 12: 0, 13: 255, 3: 255, 4: 0, 5: 0, 7: 0, 8: 255, 9: 0 },
    },
  ],
  // Zoom 5 to 56 over 0..255: 15.2 degrees are 51. Frost and iris work in the second mode, zoom in the first.
  '16-one-channel-two-modes': [
    { ask: nothing, gives: { 1: [0, 60], 2: 100, 3: 0 } },
    { ask: { zoom: 15.2 }, gives: { 1: [0, 60], 2: 51 } },
    { ask: { attributes: { Iris: 0 } }, gives: { 1: [61, 110], 2: 255 } },
    { ask: { attributes: { Frost1: 0.6 } }, gives: { 1: [61, 110], 3: 153 } },
  ],
  '17-upside-down-lists': [
    { ask: nothing, gives: { 1: 199 } },
    { ask: { gobo: 1 }, gives: { 1: [150, 199] } },
    { ask: { gobo: 2 }, gives: { 1: [90, 149] } },
    { ask: { gobo: 3 }, gives: { 1: [0, 89] } },
  ],
  // Annex A: Fog1 and Haze1 are two things.
  '18-fog-and-haze': [
    { ask: nothing, gives: { 1: 0, 2: 0, 3: 64 } },
    { ask: { haze: 1 }, gives: { 1: 0, 2: 255 } },
    { ask: { attributes: { Fog1: 1 } }, gives: { 1: 255, 2: 0 } },
  ],
  // Nothing known closes the first: it gets nothing, not even its defaults.
  '19-laser-without-a-shutter': [
    { ask: nothing, gives: { 1: 0, 2: 0 } },
    { ask: { level: 1, aim: { pan: 10, tilt: 0 } }, gives: { 1: 0, 2: 0 } },
    { mode: 'with-dimmer', ask: { level: 1, aim: { pan: 25, tilt: 0 } }, gives: { 1: 255, 2: 255 } },
    { mode: 'with-shutter', ask: nothing, gives: { 1: [0, 127] } },
    { mode: 'with-shutter', ask: { level: 0 }, gives: { 1: [0, 127] } },
    { mode: 'with-shutter', ask: { level: 1 }, gives: { 1: [128, 255] } },
  ],
  // The dimmer has 8..189, its strobe 190..249. 3 Hz: 190 + 2 / 13 * 59 = 199.08.
  '20-dimmer-and-strobe-share': [
    { ask: nothing, gives: { 1: [0, 8], 2: [0, 24] } },
    { ask: { level: 1 }, gives: { 1: 189 } },
    { ask: { level: 1, strobe: 3 }, gives: { 1: 199 } },
    { ask: { level: 1, attributes: { Shutter1: 0 } }, gives: { 1: [0, 7] } },
    { ask: { level: 1, colour: '2700K' }, gives: { 2: [25, 49] } },
    { ask: { level: 1, colour: '#ffffff' }, gives: { 2: [0, 24] } },
  ],
  // Table 60: white works below 100 and the colours from there on. Three emitters go before one, which may not take part in the mixture.
  // Annex B: red, green and blue are those of sRGB.
  '21-emitters-that-take-turns': [
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: [100, 255], 2: 255, 3: 0, 4: 0, 5: 255 } },
    { ask: { level: 1, colour: '#ffffff' }, gives: { 1: [100, 255], 2: [250, 255], 3: [250, 255], 4: [250, 255], 5: 255 } },
    { mode: 'even', ask: { level: 1 }, gives: { 1: 128, 2: 255 } },
    { mode: 'even', ask: nothing, gives: { 1: 128, 2: 0 } },
  ],
  // Annex B: cyan, magenta and yellow filters; 0 is out of the light. White less ink, in linear sRGB (IEC 61966-2-1): 128 of 255 is 0.2159
  // of the light, so 0.7841 of the ink. 2700 K is x 0.4599, y 0.4106 (Planck, CIE data): 1, 0.4152 and 0.0991 of the brightest of them.
  // The yellow channel of the file runs from in to out.
  '22-filters-that-take-away': [
    { ask: nothing, gives: { 1: 0, 2: 0, 3: 255, 4: [128, 255] } },
    { ask: { level: 1, colour: '#ffffff' }, gives: { 1: 0, 2: 0, 3: 255, 4: [128, 255], 5: 255 } },
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: 0, 2: 255, 3: 0, 4: [128, 255], 5: 255 } },
    { ask: { level: 1, colour: '#80ff00' }, gives: { 1: [199, 201], 2: 0, 3: 0, 4: [128, 255] } },
    { ask: { level: 1, colour: '2700K' }, gives: { 1: [0, 1], 2: [148, 150], 3: [24, 26], 4: [128, 255] } },
    { ask: { level: 1, colour: '#ff0000', attributes: { Color1: 1 } }, gives: { 2: 255, 4: [0, 127] } },
    { ask: { level: 1, attributes: { ColorSub_C: 0.2 } }, gives: { 1: 51, 2: 0, 3: 255 } },
  ],
  // Table 24: the output is the square of the value. 20 degrees are a quarter of the way, so half the value; 0.25 of 65535 likewise 0x7fff.
  '23-zoom-by-a-profile': [
    { ask: nothing, gives: { 1: 128, 2: 255, 3: 255 } },
    { ask: { zoom: 20 }, gives: { 1: [127, 128] } },
    { ask: { zoom: 50 }, gives: { 1: 255 } },
    { ask: { attributes: { Iris: 0.25 } }, gives: { 2: [0x7f, 0x80] } },
  ],
  // Annex A: Shutter1Strobe flashes evenly, its pulse and its random are other things. 10.5 Hz: 64 + 9.5 / 19 * 31 = 79.5. A level of 50 is
  // 0.1842 of the light (CIE 15): 12071 = 0x2f27.
  '24-many-ways-to-flash': [
    { ask: nothing, gives: { 1: [240, 255], 2: 0, 5: 0 } },
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: [240, 255], 2: 255, 5: 255, 3: 255, 4: 0, 6: 0 } },
    { ask: { level: 0.5 }, gives: { 2: 0x2f, 5: [0x20, 0x2e] } },
    { ask: { level: 1, strobe: 10.5 }, gives: { 1: [79, 80] } },
    { ask: { level: 1, attributes: { Shutter1: 0 } }, gives: { 1: [0, 31] } },
  ],
  // 255 is dark. A level of 60 is 0.2812 of the light: 183 of 255 from full. Half the frost lies in the set that is in, table 61.
  // Pan has 0..127: 90 degrees are 3/4 of it, 95.25.
  '25-full-at-nothing': [
    { ask: nothing, gives: { 1: 255, 2: [0, 9], 3: 64, 4: 128 } },
    { ask: { level: 1 }, gives: { 1: 0 } },
    { ask: { level: 0.6 }, gives: { 1: 183 } },
    { ask: { attributes: { Frost1: 1 } }, gives: { 2: 255 } },
    { ask: { attributes: { Frost1: 0.5 } }, gives: { 2: [132, 133] } },
    { ask: { aim: { pan: 90, tilt: -90 } }, gives: { 3: 95, 4: 0 } },
    { ask: { attributes: { PanRotate: 1 } }, gives: { 3: 255 } },
  ],
  // Table 63: the dimmer that is none takes the colours of each cell down.
  '26-cells-without-a-dimmer': [
    { ask: nothing, gives: { 1: 0, 2: 0, 3: 0, 5: 0, 6: 0, 7: 0, 9: 17 } },
    { ask: { level: 1, colour: ['#ff0000', '#0000ff'] }, gives: { 1: 255, 2: 0, 3: 0, 5: 0, 6: 0, 7: 255, 9: 17 } },
    { ask: { level: 0.6, colour: '#ff0000' }, gives: { 1: [71, 72], 2: 0, 3: 0, 5: [71, 72], 6: 0, 7: 0 } },
  ],
  // Table 61: what lies between two slots has no index. Table 1: 4096/2 is 0x1000, 32/1s is 0x2000. CTO is told in kelvin: all of it is 2700.
  '27-halves-of-a-wheel': [
    { ask: nothing, gives: { 1: [0, 9], 2: 0, 3: [0, 15] } },
    { ask: color(2), gives: { 1: [20, 29] } },
    { ask: color(3), gives: { 1: [40, 49] } },
    { ask: { level: 1, colour: '#0000ff' }, gives: { 1: [40, 49], 5: 255 } },
    { ask: { attributes: { CTO: 1 } }, gives: { 2: 255 } },
    { ask: { attributes: { Gobo2: 2 } }, gives: { 3: [0x10, 0x1f] } },
    { ask: { attributes: { Gobo2: 3 } }, gives: { 3: [0x20, 0xff] } },
  ],
  // 90 of 540 degrees from the middle: 170; 81 of 270: 204.
  '28-two-heads-on-a-bar': [
    { ask: nothing, gives: { 1: [128, 255], 2: 128, 3: 128, 4: 0, 8: 128, 9: 128, 10: 0 } },
    { ask: { aim: { pan: 90, tilt: 81 } }, gives: { 2: 170, 3: 204, 8: 170, 9: 204 } },
    { ask: { level: 1, colour: ['#00ff00', '#ff0000'] }, gives: { 4: 255, 5: 0, 6: 255, 7: 0, 10: 255, 11: 255, 12: 0, 13: 0 } },
    { ask: { level: 1, attributes: { Shutter1: 0 } }, gives: { 1: [0, 127] } },
  ],
  // What may flash three times a second may not flash faster for want of steps. 1 to 10 Hz in four values: 1, 4, 7, 10. 15 to 1 Hz over 4..239:
  // 3 Hz is 205.4, and 206 is 2.96 Hz. 5 to 20 Hz has nothing as slow: it stays open.
  '29-strobe-in-few-steps': [
    { ask: { level: 1, strobe: 3 }, gives: { 1: 240, 2: 255 } },
    { ask: { level: 1, strobe: 4 }, gives: { 1: 241 } },
    { ask: { level: 1, strobe: 20 }, gives: { 1: 243 } },
    { mode: 'backwards', ask: { level: 1, strobe: 3 }, gives: { 1: 206 } },
    { mode: 'backwards', ask: { level: 1, strobe: 1 }, gives: { 1: 239 } },
    { mode: 'fast-only', ask: { level: 1, strobe: 3 }, gives: { 1: [0, 99], 2: 255 } },
    { mode: 'fast-only', ask: { level: 1, strobe: 5 }, gives: { 1: 100 } },
  ],
  // Table 24, with percentages written as shares. A level of 50 is 0.1842 of the light (CIE 15): its root is 0.4292, 28127 of 65535 or 0x6ddf. In
  // the second profile half the way is a quarter of the light: 0.1842 / 0.5 is 0.3684 of the way, 93.9; a level of 80 is 0.5668: 0.5 + 0.3168 / 1.5.
  '30-profile-in-shares': [
    { ask: { level: 0.5 }, gives: { 1: [0x6d, 0x6e] } },
    { ask: { level: 1 }, gives: { 1: 255, 2: 255 } },
    { mode: 'bent', ask: { level: 0.5 }, gives: { 1: 94 } },
    { mode: 'bent', ask: { level: 0.8 }, gives: { 1: [181, 182] } },
  ],
  // Table 60: turning works where the wheel has its pictures a second time. -300 to 300 over 0..255.
  '31-wheel-twice': [
    { ask: { gobo: 3 }, gives: { 1: [25, 44], 2: 128 } },
    { ask: { gobo: 3, attributes: { Gobo1PosRotate: 1 } }, gives: { 1: [105, 255], 2: 255 } },
    { ask: { gobo: 2, attributes: { Gobo1PosRotate: 0.5 } }, gives: { 1: [45, 104], 2: 191 } },
    { ask: { gobo: 1, attributes: { Gobo1PosRotate: 1 } }, gives: { 1: [0, 4], 2: 128 } },
  ],
  // White beside cells of red, green and blue, all of annex B: no white is in red or in green, all of it in the white of sRGB, and in 2700 K
  // (x 0.4599, y 0.4106) as much of it as one more emitter may give at the brightest: red at full, no blue, and of white and green what closes
  // two equations of three, X and Z beside Y: white 0.1103, green 0.3517.
  '32-white-line-beside-cells': [
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: 255, 2: 255, 3: 0, 4: 0, 5: 255, 8: 0 } },
    { ask: { level: 1, colour: '#00ff00' }, gives: { 2: 0, 3: 255, 4: 0, 8: 0 } },
    { ask: { level: 1, colour: '#ffffff' }, gives: { 1: 255, 2: [250, 255], 3: [250, 255], 4: [250, 255], 8: [253, 255] } },
    { ask: { level: 1, colour: '2700K' }, gives: { 2: 255, 3: [105, 109], 8: [27, 29] } },
    { ask: { level: 1, colour: '#ff0000', brightness: 'match' }, gives: { 2: 255, 3: 0, 5: 255, 8: 0 } },
    { ask: { level: 1 }, gives: { 2: [250, 255], 8: 255 } },
  ],
  // Table 61: what sets tell of a function goes before its ends. 0.1842 of the light: 8 + 0.1842 * 239 = 52.0; in two bytes 2056 to 63736 and
  // 13417 = 0x3469, the high byte in slot 2.
  '33-closed-dim-open': [
    { ask: nothing, gives: { 1: [0, 8] } },
    { ask: { level: 0.5 }, gives: { 1: 52 } },
    { ask: { level: 1 }, gives: { 1: [247, 255] } },
    { mode: 'long', ask: { level: 0.5 }, gives: { 2: 0x34, 1: [0x40, 0x90] } },
  ],
  // Open is all of the light here: a lamp of which nobody asks anything is dark. 3 Hz: 135 + 2 / 19 * 104 = 145.9, and 0 to 10 Hz over 0..100.
  '34-open-beside-the-dimmer': [
    { ask: nothing, gives: { 1: [0, 8] } },
    { ask: { level: 0 }, gives: { 1: [0, 8] } },
    { ask: { level: 0.5 }, gives: { 1: 31 } },
    { ask: { level: 1 }, gives: { 1: 134 } },
    { ask: { level: 1, strobe: 3 }, gives: { 1: 145 } },
    { ask: { level: 1, attributes: { Shutter1: 0 } }, gives: { 1: [0, 7] } },
    { mode: 'open-by-default', ask: nothing, gives: { 1: 0 } },
    { mode: 'open-by-default', ask: { level: 0.5 }, gives: { 1: 37 } },
    { mode: 'strobe-below', ask: nothing, gives: { 1: [0, 101] } },
    { mode: 'strobe-below', ask: { level: 1 }, gives: { 1: 255 } },
    { mode: 'strobe-below', ask: { level: 1, strobe: 3 }, gives: { 1: 30 } },
  ],
  // What is dark by its shutter alone is dark until light is asked of it, whatever its default. 3 Hz: 16 + 2 / 19 * 190 = 36.
  '35-shutter-is-all': [
    { ask: nothing, gives: { 1: [0, 127], 2: 99 } },
    { ask: { level: 0 }, gives: { 1: [0, 127] } },
    { ask: { level: 0.3 }, gives: { 1: [128, 255] } },
    { ask: { level: 1 }, gives: { 1: [128, 255], 2: 99 } },
    { mode: 'flashing', ask: nothing, gives: { 1: [0, 15] } },
    { mode: 'flashing', ask: { level: 1 }, gives: { 1: [207, 255] } },
    { mode: 'flashing', ask: { level: 1, strobe: 3 }, gives: { 1: 36 } },
    { mode: 'flashing', ask: { level: 0, strobe: 3 }, gives: { 1: [0, 15] } },
    { mode: 'runs-through', ask: nothing, gives: { 1: 0 } },
    { mode: 'runs-through', ask: { level: 1 }, gives: { 1: 255 } },
  ],
  // No strobe begins by itself, and no second shutter stays closed, whatever their defaults. 5 Hz: 32 + 4 / 19 * 191 = 72.2.
  '36-flashing-by-default': [
    { ask: nothing, gives: { 1: [224, 255], 2: 0 } },
    { ask: { level: 1 }, gives: { 1: [224, 255], 2: 255 } },
    { ask: { level: 1, strobe: 5 }, gives: { 1: 72 } },
    { mode: 'by-set', ask: { level: 1 }, gives: { 1: [0, 9] } },
    { mode: 'by-set', ask: { level: 1, strobe: 2 }, gives: { 1: 19 } },
    { mode: 'random', ask: { level: 1 }, gives: { 1: [0, 31] } },
    { mode: 'second', ask: { level: 1 }, gives: { 1: [128, 255], 2: [128, 255], 3: 255 } },
  ],
  // A slot has a filter of the physical descriptions in place of a colour; 3200 K is on the second wheel (x 0.4234, y 0.3990, CIE data).
  '37-filters-on-two-wheels': [
    { ask: { level: 1, colour: '#ff0000' }, gives: { 1: [160, 255], 2: [0, 79] } },
    { ask: { level: 1, colour: '3200K' }, gives: { 1: [0, 79], 2: [80, 159] } },
    { ask: { level: 1, colour: '#ffffff' }, gives: { 1: [0, 79], 2: [0, 79] } },
  ],
  // (270 - 90) / 540 of 0xffffff is 0x555555, the highest byte in slot 3. (135 - 20) / 230 is a half.
  '38-runs-the-other-way': [
    { ask: nothing, gives: { 3: 0x80, 2: 0, 1: 0, 4: 150 } },
    { ask: { aim: { pan: 90, tilt: 20 } }, gives: { 3: 0x55, 2: 0x55, 1: 0x55, 4: [127, 128] } },
  ],
  // A channel works on its geometry and what hangs on that: the dimmer of the wash does not close the laser beside it, and the shutter of the
  // laser would rest open while the wash is dark.
  '39-laser-beside-a-wash': [
    { ask: nothing, gives: { 1: 0, 2: 0, 3: 0 } },
    { ask: { level: 1 }, gives: { 1: 0, 2: 0, 3: 0 } },
    { mode: 'shutter', ask: { level: 1 }, gives: { 1: 0, 2: 0 } },
    { mode: 'one-for-both', ask: nothing, gives: { 1: 0, 2: 200 } },
    { mode: 'one-for-both', ask: { level: 1 }, gives: { 1: 255, 2: 200 } },
    // The laser is lit in two places, and the dimmer of one does not close the other.
    { mode: 'twice', ask: { level: 1 }, gives: { 1: 0, 2: 0 } },
  ],
};

/** First slots of both start addresses, in universes of their own. */
const [FIRST, SECOND] = [1, 2];

function slotsOf(file: string, { mode, ask }: Asked): { readonly first: Uint8Array; readonly second: Uint8Array | undefined } {
  const type = readDescription(readFileSync(new URL(`foreign/${file}.xml`, import.meta.url), 'utf8'));
  const wanted = type.modes.find(({ id }) => id === mode) ?? type.modes[0];
  if (wanted === undefined || footprint(wanted) > 512) throw new Error(`${file} has no mode ${mode}`);
  const isTwice = wanted.channels.some((channel) => 'break' in channel && channel.break === 2);
  const lamp = {
    ...place('lamp', type.id, wanted.id, 1),
    use: type.kind ?? ('uplight' as const),
    ...(isTwice && { further: [{ universe: SECOND, address: 1 }] }),
  };
  const show = tinyShow({
    fixtureTypes: [type],
    fixtures: [lamp],
    looks: [{ id: 'asked', fade: 0, parts: [{ who: everybody, ...ask }] }],
  });
  const offline = new Offline(show, [[0, press('asked')]]);
  const { rig } = offline.show;
  const levels = new Levels(rig.universes);
  Encoder.for(rig, levels).encode(offline.frame(1000));
  return { first: levels.snapshot(FIRST), second: levels.has(SECOND) ? levels.snapshot(SECOND) : undefined };
}

function expectSlots(slots: Uint8Array | undefined, gives: Slots): void {
  for (const [slot, wanted] of Object.entries(gives)) {
    const found = slots?.[Number(slot) - 1] ?? Number.NaN;
    const [least, most] = typeof wanted === 'number' ? [wanted, wanted] : wanted;
    expect(found, `slot ${slot}`).toBeGreaterThanOrEqual(least);
    expect(found, `slot ${slot}`).toBeLessThanOrEqual(most);
  }
}

describe.each(Object.keys(files))('the file %s', (file) => {
  it.each((files[file] ?? []).map((row) => ({ ...row, what: JSON.stringify(row.ask), in: row.mode ?? 'its first mode' })))(
    'gives what it should for $what in $in',
    (row) => {
      const { first, second } = slotsOf(file, row);
      expectSlots(first, row.gives);
      if (row.second !== undefined) expectSlots(second, row.second);
    },
  );
});

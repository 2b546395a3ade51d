import { describe, expect, it } from 'vitest';
import { slotAt } from '../helpers/lightness.ts';
import { hazePermitted, Offline, press } from '../helpers/offline.ts';
import { everybody, place, tinyShow } from '../helpers/tiny-show.ts';

const show = tinyShow({
  fixtures: [
    place('bare', 'rgb-par', '3ch', 1),
    place('par', 'rgbw-par', '6ch', 11),
    place('uv', 'six-colour-par', '8ch', 21),
    place('spot', 'spot-head', '12ch', 31),
    place('beam', 'beam-head', '12ch', 51),
    place('hazer', 'hazer', '2ch', 71),
  ],
  looks: [
    {
      id: 'everything',
      fade: 0,
      parts: [
        {
          who: everybody,
          level: 1,
          colour: '#ff8040',
          aim: { pan: 90, tilt: -45 },
          gobo: 4,
          zoom: 20,
          uv: 1,
          strobe: 2,
          haze: 1,
          fan: 1,
        },
      ],
    },
  ],
  movements: [{ id: 'circle', fade: 0, who: everybody, figure: 'circle', size: { pan: 30, tilt: 20 }, period: { seconds: 8 } }],
});
const lit = new Offline(show, [
  [0, hazePermitted],
  [0, press('everything')],
]);
const dark = new Offline(show, [
  [0, hazePermitted],
  [0, press('everything')],
  [1000, { do: 'blackout', on: true }],
  [9000, { do: 'blackout', on: false }],
]);
/** Value of slots by their numbers from 1. */
const of = (slots: Uint8Array, ...numbers: number[]) => numbers.map((number) => slots[number - 1]);

/** design.md: "Blackout closes intensity and shutters at once and stops haze; it leaves pan and tilt alone". Layouts: rig/library.ts. */
describe('a blackout', () => {
  const before = lit.slots(1000);
  const during = dark.slots(1000);

  it('closes every dimmer at once, and the emitters of what has none', () => {
    expect(of(before, 1, 11, 21, 36, 37, 55, 56).every((value) => value === 255)).toBe(true);
    expect(of(during, 1, 2, 3, 11, 21, 36, 37, 55, 56).every((value) => value === 0)).toBe(true);
  });

  it('closes shutters and stops strobes', () => {
    // Strobe channels of the pars lie open at 0; shutters of the heads are closed at 0.
    expect(of(before, 16, 28, 35, 57).every((value) => (value ?? 0) > 0)).toBe(true);
    expect(of(during, 16, 28, 35, 57)).toEqual([0, 0, 0, 0]);
  });

  it('puts UV out and stops the haze', () => {
    expect(of(before, 27, 71)).toEqual([255, 255]);
    expect(of(during, 27, 71)).toEqual([0, 0]);
  });

  it('leaves pan, tilt, colour, gobo, zoom and the fan where they are', () => {
    const kept = [12, 13, 14, 15, 22, 23, 24, 31, 32, 33, 34, 38, 39, 51, 52, 53, 54, 58, 59, 60, 61, 62, 72];
    expect(of(during, ...kept)).toEqual(of(before, ...kept));
    expect(of(during, 31, 51, 72)).not.toContain(0);
  });

  it('lets the heads go on with their figures, so that light returns where it would be', () => {
    const turning = new Offline(show, [
      [0, press('everything')],
      [0, press('circle')],
    ]);
    const hidden = new Offline(show, [
      [0, press('everything')],
      [0, press('circle')],
      [100, { do: 'blackout', on: true }],
    ]);
    for (const at of [500, 3000]) expect(of(hidden.slots(at), 51, 52, 53, 54)).toEqual(of(turning.slots(at), 51, 52, 53, 54));
  });

  it('gives the same bytes back when it ends, by a short fade', () => {
    expect(dark.slots(8999)).toEqual(during);
    const dimmers = [9000, 9100, 9200, 9300].map((at) => dark.slot(1, at));
    expect(dimmers).toEqual([0, slotAt(1 / 3), slotAt(2 / 3), 255]);
    expect(dark.slots(9300)).toEqual(before);
  });

  it('cannot be lit by anything that is pressed while it lasts', () => {
    const pressed = new Offline(show, [
      [0, { do: 'blackout', on: true }],
      [10, press('everything')],
      [20, { do: 'master', level: 1 }],
    ]);
    expect(of(pressed.slots(5000), 1, 2, 3, 11, 21, 27, 36, 37, 55, 56, 71).every((value) => value === 0)).toBe(true);
  });
});

import { describe, expect, it } from 'vitest';
import type { AttributeName } from '../../node/core/attributes.ts';
import { luminanceOf } from '../../node/light/oklab.ts';
import { compileShow } from '../../node/playback/compile.ts';
import type { FixtureTypeInput } from '../../node/rig/fixture-type.ts';
import { lampLights } from '../../node/rig/light-of.ts';
import { Picture } from '../../node/rig/picture.ts';
import type { Show } from '../../node/show/document.ts';
import { levelOf } from '../helpers/lightness.ts';
import { place, tinyShow } from '../helpers/tiny-show.ts';

type Values = Readonly<Partial<Record<AttributeName, number>>>;

/** A show of one fixture, with the light of its lamps for what its whole and its parts are asked for. */
function seen(show: Show, whole: Values, ...parts: readonly Values[]) {
  const { rig } = compileShow(show);
  const frame = Float64Array.from(rig.rest);
  const lamps = rig.fixtures[0]?.lamps ?? [];
  for (const [i, values] of [whole, ...parts].entries()) {
    for (const [name, value] of Object.entries(values)) {
      const cell = lamps[i]?.cells.get(name as AttributeName);
      if (cell === undefined) throw new Error(`no ${name} in part ${i}`);
      frame[cell] = value;
    }
  }
  return lampLights(rig).map((lamp) => {
    lamp.look(frame);
    const [red = 0, green = 0, blue = 0] = lamp.light;
    return {
      light: [red, green, blue],
      luminance: luminanceOf(red, green, blue),
      hertz: lamp.hertz,
      part: lamp.part,
      share: lamp.share,
    };
  });
}
const luminances = (...of: Parameters<typeof seen>) => seen(...of).map(({ luminance }) => luminance);

const lamp = (type: string, mode: string, more = {}) => tinyShow({ fixtures: [{ ...place('lamp', type, mode, 1), ...more }] });
const own = (type: Omit<FixtureTypeInput, 'id' | 'name'>) =>
  tinyShow({ fixtureTypes: [{ id: 'own', name: 'Own', ...type }], fixtures: [place('lamp', 'own', type.modes[0]?.id ?? '', 1)] });
const white: Values = { Dimmer: 1, ColourL: 1 };

/**
 * GDTF annex B (DIN SPEC 15800:2022-02): nominal light of red 21.3, green 71.5, blue 7.2, white 100. A luminance of 1 is all that the lamp
 * has. Red, green and blue are those of sRGB (IEC 61966-2-1).
 */
describe('the light of a lamp that mixes colours', () => {
  it('is 1 in white at full, and none in the dark', () => {
    expect(luminances(lamp('rgb-par', '3ch'), white)).toEqual([expect.closeTo(1, 2)]);
    expect(luminances(lamp('rgb-par', '3ch'), { ...white, Dimmer: 0 })).toEqual([0]);
  });

  it('is that of the emitters which are on', () => {
    const red = { Dimmer: 1, ColorAdd_R: 1, ColorAdd_G: 0, ColorAdd_B: 0 };
    const [par] = seen(lamp('rgb-par', '5ch'), red);
    expect(par?.luminance).toBeCloseTo(0.213, 6);
    expect((par?.light[1] ?? 1) / (par?.light[0] ?? 1)).toBeCloseTo(0, 2);
    expect((par?.light[2] ?? 1) / (par?.light[0] ?? 1)).toBeCloseTo(0, 2);
    expect(luminances(lamp('rgbw-par', '6ch'), { ...red, ColorAdd_W: 0 })).toEqual([expect.closeTo(0.1065, 6)]);
    expect(luminances(lamp('rgbw-par', '6ch'), { ...red, ColorAdd_W: 0.5 })).toEqual([expect.closeTo(0.3565, 6)]);
  });

  it('follows its dimmer channel, the shutter, and how far it is held back', () => {
    expect(luminances(lamp('rgb-par', '5ch'), { ...white, Dimmer: levelOf(0.3) })[0]).toBeCloseTo(0.3, 2);
    expect(luminances(lamp('rgb-par', '3ch', { dim: 0.5 }), { ...white, Dimmer: levelOf(0.3) })[0]).toBeCloseTo(0.15, 2);
    expect(luminances(lamp('rgb-par', '5ch', { dim: 0.5 }), white)[0]).toBeCloseTo(0.5, 2);
    expect(luminances(lamp('beam-head', '12ch'), { ...white, Shutter1: 0 })).toEqual([0]);
    expect(luminances(lamp('beam-head', '12ch'), white)[0]).toBeCloseTo(1, 2);
  });

  it('is the same of every lamp at a level, however it dims: lightness by CIE 15', () => {
    const even = (dimming: FixtureTypeInput['dimming']) =>
      own({
        ...(dimming && { dimming }),
        modes: [{ id: 'm', name: 'M', channels: [{ slot: 1, functions: [{ attribute: 'Dimmer' }] }] }],
      });
    // L* 50 is a Y of 0.1842 (CIE 15: 116 times the cube root of it, less 16).
    for (const dimming of [undefined, 'linear', 'square', 's', [0, 0.01, 0.1, 0.4, 1]] as const)
      expect(luminances(even(dimming as FixtureTypeInput['dimming']), { Dimmer: 0.5 })[0]).toBeCloseTo(0.1842, 4);
    expect(luminances(lamp('pixel-tube', '3ch'), { ...white, Dimmer: 0.5 })[0]).toBeCloseTo(0.184, 2);
    expect(luminances(lamp('dimmer', '1ch', { dimming: 'square' }), { Dimmer: 0.5 })[0]).toBeCloseTo(0.1842, 4);
  });

  it('has a trace of UV', () => {
    const [par] = seen(lamp('six-colour-par', '8ch'), { Dimmer: 1, ColourL: 0, ColorAdd_UV: 1 });
    expect(par?.luminance).toBeGreaterThan(0);
    expect(par?.luminance).toBeLessThan(0.05);
    expect(par?.light[2]).toBeGreaterThan(par?.light[0] ?? 1);
    expect(luminances(lamp('uv-flood', '1ch'), { ColorAdd_UV: levelOf(0.5) })[0]).toBeCloseTo(0.5, 9);
  });
});

describe('the light of a lamp of one colour', () => {
  it('is that of a filament, or of a source of the temperature that is told', () => {
    const [bulb] = seen(lamp('dimmer', '1ch'), { Dimmer: levelOf(0.5) });
    expect(bulb?.luminance).toBeCloseTo(0.5, 9);
    expect(bulb?.light[0]).toBeGreaterThan(3 * (bulb?.light[2] ?? 1));
    const [strobe] = seen(lamp('strobe-panel', '2ch'), { Dimmer: 1 });
    expect((strobe?.light[0] ?? 0) / (strobe?.light[2] ?? 0)).toBeCloseTo(1, 0);
  });

  it('passes through the filters of its wheels', () => {
    const [red] = seen(lamp('spot-head', '12ch'), { Dimmer: 1, Color1: 2 });
    expect(red?.light).toEqual([expect.closeTo(1, 6), 0, 0]);
    expect(red?.luminance).toBeCloseTo(0.2126, 3);
    expect(luminances(lamp('spot-head', '12ch'), { Dimmer: 1, Color1: 1 })).toEqual([expect.closeTo(1, 9)]);
  });

  it('loses what filters of cyan, magenta and yellow take away', () => {
    const channels = (['Dimmer', 'ColorSub_C', 'ColorSub_M', 'ColorSub_Y'] as const).map((attribute, i) => ({
      slot: i + 1,
      functions: [{ attribute }],
    }));
    const head = own({ beam: { angle: 20, field: 25, temperature: 6500 }, modes: [{ id: 'm', name: 'M', channels }] });
    expect(luminances(head, { Dimmer: 1, ColorSub_C: 1, ColorSub_M: 1, ColorSub_Y: 1 })).toEqual([0]);
    const [cyan] = seen(head, { Dimmer: 1, ColorSub_C: 1 });
    // Beside the lamp's own white, as wheels are; luminance of sRGB's green and blue, IEC 61966-2-1.
    expect(cyan?.light).toEqual([0, 1, 1].map((one) => expect.closeTo(one, 6)));
    expect(cyan?.luminance).toBeCloseTo(0.7874, 4);
  });

  it('of a relay is all or nothing', () => {
    const relay = (level: number) => seen(lamp('relay-pack', '4ch'), {}, { Dimmer: level })[0];
    expect([0, 0.01, 0.5, 1].map((level) => relay(level)?.luminance)).toEqual([0, 1, 1, 1].map((one) => expect.closeTo(one, 9)));
    expect(relay(1)).toMatchObject({ part: 1, share: 0.25 });
  });

  it('is none of what gives no light', () => {
    expect(seen(lamp('hazer', '2ch'), { Haze1: 1 })).toEqual([]);
    expect(seen(lamp('mirror-ball-motor', '1ch'), { PanRotate: 1 })).toEqual([]);
  });
});

describe('the light of parts', () => {
  it('stands behind the dimmer and the shutter of the whole', () => {
    const bar = lamp('rgb-bar', '14ch');
    const parts = [{ ColourL: 1 }, { ColourL: 1 }, { ColourL: 0 }, { ColourL: 0 }];
    expect(luminances(bar, { Dimmer: levelOf(0.5) }, ...parts)).toEqual([0.5, 0.5, 0, 0].map((one) => expect.closeTo(one, 2)));
    expect(luminances(bar, {}, ...parts)).toEqual([0, 0, 0, 0]);
    expect(seen(bar, { Dimmer: 1, Shutter1Strobe: 5 }, ...parts).map(({ hertz }) => hertz)).toEqual([5, 5, 5, 5]);
  });

  it('is dimmed by their own emitters where nothing else dims', () => {
    expect(luminances(lamp('rgb-bar', '12ch'), {}, { ...white, Dimmer: levelOf(0.2) })[0]).toBeCloseTo(0.2, 2);
  });
});

describe('the rate of a strobe', () => {
  it('goes over all of its ranges, the slow and the fast', () => {
    const ranges = [
      { attribute: 'Dimmer' as const, to: 99 },
      { attribute: 'Shutter1Strobe' as const, from: 100, to: 149, physical: [0.5, 5] as [number, number] },
      { attribute: 'Shutter1Strobe' as const, from: 150, physical: [5, 20] as [number, number] },
    ];
    const both = own({ modes: [{ id: 'm', name: 'M', channels: [{ slot: 1, functions: ranges }] }] });
    const at = (hertz: number) => seen(both, { Dimmer: 1, Shutter1Strobe: hertz })[0]?.hertz;
    expect([0.2, 2, 15, 25].map(at)).toEqual([0.5, 2, 15, 20]);
  });

  it('is as fast as the channel can, and none in the dark', () => {
    const par = lamp('rgbw-par', '6ch');
    const at = (hertz: number, level = 1) => seen(par, { ...white, Dimmer: level, Shutter1Strobe: hertz })[0]?.hertz;
    // Slow to fast, 1 to 20 Hz.
    expect([0, 0.2, 5, 25].map((hertz) => at(hertz))).toEqual([0, 1, 5, 20]);
    expect(at(5, 0)).toBe(0);
  });

  it('that shares its channel with the dimmer stands at full', () => {
    const functions = [
      { attribute: 'Dimmer' as const, to: 127 },
      { attribute: 'Shutter1Strobe' as const, from: 128, physical: [1, 10] as [number, number] },
    ];
    const cheap = own({ modes: [{ id: 'm', name: 'M', channels: [{ slot: 1, functions }] }] });
    expect(seen(cheap, { Dimmer: levelOf(0.3), Shutter1Strobe: 4 })[0]).toMatchObject({
      luminance: expect.closeTo(1, 9),
      hertz: 4,
    });
    expect(seen(cheap, { Dimmer: levelOf(0.3) })[0]).toMatchObject({ luminance: expect.closeTo(0.3, 9), hertz: 0 });
  });
});

describe('a picture', () => {
  it('shows every fixture in its colour, and its brightest white as the white of the screen', () => {
    const { rig } = compileShow(
      tinyShow({
        fixtures: [place('par', 'rgbw-par', '6ch', 1), place('hazer', 'hazer', '2ch', 20), place('bar', 'rgb-bar', '12ch', 30)],
      }),
    );
    const picture = new Picture(rig);
    const frame = Float64Array.from(rig.rest);
    expect(picture.colours(frame)).toEqual([0, 0, 0]);
    const set = (fixture: number, part: number, values: Values): void => {
      for (const [name, value] of Object.entries(values))
        frame[rig.fixtures[fixture]?.lamps[part]?.cells.get(name as AttributeName) ?? -1] = value;
    };
    set(0, 0, white);
    // One cell of four, in blue.
    set(2, 1, { Dimmer: 1, ColorAdd_R: 0, ColorAdd_G: 0, ColorAdd_B: 1 });
    const [par = 0, hazer, bar = 0] = picture.colours(frame);
    expect([par >> 16, (par >> 8) & 255, par & 255].every((part) => part >= 252)).toBe(true);
    expect(hazer).toBe(0);
    // A quarter of the light: sRGB's curve makes 137 of it (IEC 61966-2-1).
    expect(bar & 255).toBeGreaterThan(130);
    expect(bar & 255).toBeLessThan(145);
    expect(bar >> 8).toBeLessThan(0x2000);
  });
});

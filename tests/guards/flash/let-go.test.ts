import fc from 'fast-check';
import { expect, it } from 'vitest';
import { head, par, place, tinyShow } from '../../helpers/tiny-show.ts';
import { Evening } from './evening.ts';

const show = tinyShow({
  fixtures: [
    place('mixed', 'rgb-par', '5ch', 1),
    par('white', 10),
    head('head', 30),
    place('strobe', 'strobe-panel', '2ch', 50),
    place('other', 'strobe-panel', '2ch', 52),
  ],
});
const level = fc.constantFrom(0, 0.03, 0.1, 0.3, 0.5, 0.62, 0.8, 0.9, 1);
/** Red, dark, pale red, blue, white, an orange. */
const colour = fc.constantFrom([1, 0, 0], [0, 0, 0], [1, 0.5, 0.3], [0, 0, 1], [1, 1, 1], [1, 0.2, 0]);
const picture = fc.record({
  colour,
  frames: fc.constantFrom(1, 4, 10, 40),
  levels: fc.array(level, { minLength: 4, maxLength: 4 }),
  hertz: fc.constantFrom(0, 0, 0, 1, 5, 12),
  blackout: fc.constantFrom(false, false, false, false, true),
});
type Picture = typeof picture extends fc.Arbitrary<infer One> ? One : never;

/** No room is left dark for good: whatever flashed before, what stands still for a few seconds is there as it was asked for. */
it('nothing is held for longer than its second, whatever came before', () => {
  fc.assert(
    fc.property(fc.array(picture, { minLength: 60, maxLength: 100 }), picture, (before, last) => {
      const it = new Evening(show);
      const asks =
        ({ colour: rgb, levels, hertz }: Picture, strobes: boolean) =>
        (frame: Float64Array): void => {
          const set = (fixture: string, name: string, value = 0): void => {
            frame[it.cell(fixture, name)] = value;
          };
          set('mixed', 'Dimmer', 1);
          for (const [i, name] of ['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'].entries()) set('mixed', name, rgb[i]);
          for (const [i, name] of ['white', 'head', 'strobe', 'other'].entries()) set(name, 'Dimmer', levels[i]);
          set('strobe', 'Shutter1Strobe', strobes ? hertz : 0);
          set('other', 'Shutter1Strobe', strobes ? hertz / 2 : 0);
        };
      let now = 0;
      for (const one of before)
        for (let i = 0; i < one.frames; i++, now += 25) it.frame(now, asks(one, true), { blackout: one.blackout });
      for (const until = now + 4000; now < until; now += 25) it.frame(now, asks(last, false));
      const asked = Float64Array.from(it.rig.rest);
      asks(last, false)(asked);
      expect(it.frame(now, asks(last, false))).toEqual(asked);
      // A change that were still to come would take its room for ever.
      for (const { changes } of [it.memory.luminances, it.memory.reds, it.memory.redLevels])
        expect(Math.max(...changes.times)).toBeLessThanOrEqual(now);
    }),
    { numRuns: 15 },
  );
}, 60_000);

import { describe, expect, it } from 'vitest';
import { attribute } from '../../node/core/attributes.ts';
import { Levels } from '../../node/core/levels.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import { library } from '../../node/rig/library.ts';
import { layOut } from '../../node/rig/rig.ts';
import { evenness } from '../bench/evenness.mjs';

const rows = evenness({ library, layOut, Levels, Encoder, attribute });

/** L* by CIE 15 of what the slots mean to the lamp, at every half percent of a fade in white; 0.5 is perfectly even. */
describe('A fade', () => {
  it('was looked at on many lamps, of 8 and of 16 bits', () => {
    expect(rows.length).toBeGreaterThan(40);
    expect(new Set(rows.map(({ bits }) => bits))).toEqual(new Set([8, 16]));
  });

  it.each(rows)('never goes back on $what', ({ least }) => {
    expect(least).toBeGreaterThanOrEqual(0);
  });

  it.each(rows.filter(({ bits }) => bits === 16))('is even on $what, 16 bits', ({ worst, off }) => {
    expect(worst).toBeLessThan(0.53);
    expect(off).toBeLessThan(0.02);
  });

  // One step of 255 is an L* of 3.54 at the dark end, and of 1 at a level of 20 % (CIE 15): where it can be it is no more than that.
  it.each(rows.filter(({ bits }) => bits === 8))('is as even on $what as 8 bits can', ({ worst, worstAbove, litFrom }) => {
    expect(worst).toBeLessThan(3.6);
    expect(worstAbove).toBeLessThan(1.6);
    expect(litFrom).toBeLessThan(0.025);
  });

  it('at half the level has the same light on every lamp: L* 50', () => {
    for (const { what, shown } of rows) expect(Math.abs((shown[100] ?? 0) - 50), what).toBeLessThan(0.5);
  });
});

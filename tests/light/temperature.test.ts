import { describe, expect, it } from 'vitest';
import { planckian } from '../../node/light/temperature.ts';

describe('the colour of a black body', () => {
  it('is the published one: Kang et al. 2002 as a colour library prints it, 6504.38938305 K', () => {
    const [x, y] = planckian(6504.38938305);
    expect(x).toBeCloseTo(0.313426, 6);
    expect(y).toBeCloseTo(0.3235959, 6);
  });

  // Kang's fit, and Planck's law over the CIE 1931 data, which the fit follows to 0.001.
  it.each([
    [2700, 0.4593, 0.4107, 0.4599, 0.4106],
    [3000, 0.4366, 0.4042, 0.4369, 0.4041],
    [3200, 0.4232, 0.3991, 0.4234, 0.399],
    [4000, 0.3805, 0.3767, 0.3804, 0.3767],
    [6500, 0.3135, 0.3237, 0.3135, 0.3236],
  ])('at %i K lies where the table has it', (kelvin, fitX, fitY, planckX, planckY) => {
    const [x, y] = planckian(kelvin);
    expect(x).toBeCloseTo(fitX, 4);
    expect(y).toBeCloseTo(fitY, 4);
    expect(Math.abs(x - planckX)).toBeLessThan(0.001);
    expect(Math.abs(y - planckY)).toBeLessThan(0.001);
  });

  // CIE 1960 uv of a black body, as published. u = 4x / (12y - 2x + 3), v = 6y / (12y - 2x + 3).
  it.each([
    [4000, 0.22510967, 0.334387367],
    [7000, 0.198126929, 0.307025981],
    [25_000, 0.182932684, 0.274073232],
  ])('at %i K lies within the error of the fit from the published uv', (kelvin, u, v) => {
    const [x, y] = planckian(kelvin);
    const below = 12 * y - 2 * x + 3;
    expect(Math.abs((4 * x) / below - u)).toBeLessThan(0.0005);
    expect(Math.abs((6 * y) / below - v)).toBeLessThan(0.0005);
  });

  it('has no seam that an eye could see where the pieces of the fit meet', () => {
    for (const seam of [2222, 4000]) {
      const [x, y] = planckian(seam);
      const [nextX, nextY] = planckian(seam + 0.001);
      expect(Math.hypot(nextX - x, nextY - y)).toBeLessThan(0.0005);
    }
  });

  it('grows bluer all the way up', () => {
    const xs = Array.from({ length: 234 }, (_, i) => planckian(1667 + i * 100)[0]);
    for (const [i, x] of xs.entries()) expect(x).toBeLessThan(xs[i - 1] ?? 1);
  });
});

import { describe, expect, test } from 'vitest';
import { xyzOf } from '../../node/light/colour-matching.ts';
import { LampColour } from '../../node/light/lamp-colour.ts';
import { type RawEmitter, strengthsOf } from '../../node/light/strengths.ts';

const red: RawEmitter = { name: 'ColorAdd_R', label: 'Red', colour: [0.7, 0.3, 25] };
const green: RawEmitter = { name: 'ColorAdd_G', label: 'Green', colour: [0.17, 0.7, 60] };
const blue: RawEmitter = { name: 'ColorAdd_B', label: 'Blue', colour: [0.14, 0.05, 8] };
const all = [red, green, blue];
const fluxes = (rows: readonly RawEmitter[]) => Object.values(strengthsOf(rows).emitters).map(({ flux }) => flux);
const line = (nm: number, energy = 1) => [
  { nm: nm - 0.5, energy: 0 },
  { nm, energy },
  { nm: nm + 0.5, energy: 0 },
];

describe('How strong the emitters of a file are', () => {
  test('is their luminous intensity, in candela, where that is told', () => {
    const rows = all.map((row, i) => ({ ...row, candela: [900, 2100, 260][i] }));
    expect(strengthsOf(rows)).toMatchObject({ unit: 'candela', said: [] });
    expect(fluxes(rows)).toEqual([900, 2100, 260]);
  });

  test.each([0, 1, 100])('is the Y of their colours, and said so, where every intensity is %d', (candela) => {
    const { unit, said } = strengthsOf(all.map((row) => ({ ...row, candela })));
    expect(unit).toBe('share');
    expect(said).toHaveLength(1);
    expect(said[0]).toMatch(
      candela === 0 ? /^No luminous intensity is above 0; .* by Y of its colour/ : /a placeholder; .* by Y of its colour/,
    );
    expect(fluxes(all.map((row) => ({ ...row, candela })))).toEqual([25, 60, 8]);
  });

  // V of CIE 1931 at 620, 530 and 460 nm is 0.381, 0.862 and 0.060 (CIE 15, table of the 2 degree observer).
  test('is by their spectra, weighed by the eye, where those have one scale', () => {
    const rows = [
      { ...red, colour: [0.7, 0.3, 100] as const, spectrum: line(620, 3) },
      { ...green, colour: [0.17, 0.7, 100] as const, spectrum: line(530, 2) },
      { ...blue, colour: [0.14, 0.05, 100] as const, spectrum: line(460, 4) },
    ];
    const [r = 0, g = 0, b = 0] = fluxes(rows);
    expect(r / g).toBeCloseTo((3 * 0.381) / (2 * 0.862), 1);
    expect(b / g).toBeCloseTo((4 * 0.06) / (2 * 0.862), 1);
    expect(strengthsOf(rows).said.join()).toContain('by spectrum');
  });

  test('is what is typical of their names where nothing says more than placeholders, and white is white then', () => {
    const rows = all.map((row) => ({
      ...row,
      colour: [row.colour?.[0] ?? 0, row.colour?.[1] ?? 0, 100] as const,
      candela: 1,
      spectrum: line(500),
    }));
    const { unit, said, emitters } = strengthsOf(rows);
    expect(unit).toBe('share');
    expect(said.join()).toContain('typical ones of emitters of these names are taken');
    // Annex B of DIN SPEC 15800:2022-02.
    expect(fluxes(rows)).toEqual([21.3, 71.5, 7.2]);
    const levels = new Float64Array(3);
    const lamp = new LampColour(['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'], emitters);
    lamp.mix(Float64Array.from(lamp.reach(0.3127, 0.329).oklab), 0, levels);
    expect(Math.min(...levels)).toBeGreaterThan(0.3);
  });

  test('is typical beside the others for the one that is left out', () => {
    const rows = [
      { ...red, candela: 1000 },
      { ...green, candela: 3000 },
      { ...blue, candela: 0 },
    ];
    const [, , b] = fluxes(rows);
    // 7.2 beside 21.3 and 71.5.
    expect(b).toBeCloseTo((7.2 * 4000) / (21.3 + 71.5), 6);
    expect(strengthsOf(rows).said).toEqual(['"Blue" has no luminous intensity; its typical strength beside the others is taken']);
  });

  test('of a single emitter needs no other', () => {
    expect(strengthsOf([{ ...red, candela: 700 }])).toMatchObject({ unit: 'candela', emitters: { ColorAdd_R: { flux: 700 } } });
    expect(strengthsOf([{ ...red, candela: 1 }])).toMatchObject({ unit: 'share' });
  });
});

describe('The colour of an emitter', () => {
  test('that a file leaves at white, or without a sense, is not believed of a red one', () => {
    for (const colour of [[0.3127, 0.329, 100], [0.9, 0.9, 1], [0, 0, 0], undefined] as const) {
      const { emitters, said } = strengthsOf([{ name: 'ColorAdd_R', label: 'Red', colour, candela: 700 }]);
      expect(emitters.ColorAdd_R).toMatchObject({ x: 0.64, y: 0.33 });
      expect(said).toEqual(['"Red" has no colour; the typical one of ColorAdd_R is taken']);
    }
    expect(strengthsOf([{ name: 'ColorAdd_W', label: 'White', colour: [0.3127, 0.329, 100] }]).emitters.ColorAdd_W).toMatchObject({
      x: 0.3127,
    });
  });

  // The spectral locus of CIE 1931 (CIE 15): the fit is within a hundredth or two of it.
  test.each([
    [620, 0.6915, 0.3083],
    [590, 0.5752, 0.4242],
    [525, 0.1142, 0.8262],
    [465, 0.1355, 0.0399],
  ])('is read off a spectrum: %d nm', (nm, x, y) => {
    const [X, Y, Z] = xyzOf(line(nm));
    expect(Math.abs(X / (X + Y + Z) - x)).toBeLessThan(0.02);
    expect(Math.abs(Y / (X + Y + Z) - y)).toBeLessThan(0.02);
  });
});

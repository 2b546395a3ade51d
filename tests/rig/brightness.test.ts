import { describe, expect, it } from 'vitest';
import { compileShow } from '../../node/playback/compile.ts';
import { brightnessOf, intensityOf } from '../../node/rig/brightness.ts';
import type { FixtureTypeInput } from '../../node/rig/fixture-type.ts';
import { library } from '../../node/rig/library.ts';
import { place, tinyShow } from '../helpers/tiny-show.ts';

const channels = [{ slot: 1, functions: [{ attribute: 'ColorAdd_R' as const }] }];
const of = (type: Omit<FixtureTypeInput, 'id' | 'name' | 'modes'>, more = {}, full = 900) => {
  const show = tinyShow({
    fixtureTypes: [{ id: 'own', name: 'Own', ...type, modes: [{ id: 'm', name: 'M', channels }] }],
    fixtures: [{ ...place('lamp', 'own', 'm', 1), ...more }],
  });
  const [fixture] = compileShow(show).rig.fixtures;
  if (fixture === undefined) throw new Error('no lamp');
  return brightnessOf(fixture, full);
};

describe('How bright a lamp is beside another', () => {
  it('is its intensity where that is measured', () => {
    expect(of({ strengths: 'candela', typical: { candela: [1, 2] } })).toEqual({ candela: 900, isGuess: false });
  });

  // A bell of half its intensity at half the angle: Φ = π h² I / ln 2, h in radians. 20 degrees, 1000 lm: 1000 × 0.6931 / (π × 0.17453²) = 7243.
  it('follows from its flux and the angle of its beam', () => {
    expect(intensityOf(1000, 20)).toBeCloseTo(7243, -1);
    const beam = { angle: 20, field: 30 };
    expect(of({ strengths: 'lumen', beam }, {}, 1000)).toEqual({ candela: expect.closeTo(7243, -1), isGuess: false });
    expect(of({ beam: { ...beam, flux: 1000 } })).toEqual({ candela: expect.closeTo(7243, -1), isGuess: false });
    expect(of({ strengths: 'lumen', beam: { ...beam, angle: 0 } }).isGuess).toBe(true);
  });

  it('is guessed by kind, else by use, and so said', () => {
    expect(of({ typical: { candela: [100, 400] } })).toEqual({ candela: expect.closeTo(200, 9), isGuess: true });
    expect(of({}, { use: 'beam' }).candela).toBeGreaterThan(20 * of({}, { use: 'uplight' }).candela);
  });

  it('is what somebody says by eye, a multiple of all that', () => {
    expect(of({ strengths: 'candela' }, { strength: 0.5 })).toEqual({ candela: 450, isGuess: false });
    expect(of({ typical: { candela: [100, 400] } }, { strength: 2 })).toEqual({ candela: expect.closeTo(400, 9), isGuess: false });
  });
});

/** What cannot have one: no light of its own, another's light (a dimmer), next to none that an eye could rate (UV). */
const without = [
  'dimmer',
  'dimmer-pack',
  'six-way-dimmer-pack',
  'relay-pack',
  'uv-bar',
  'uv-flood',
  'mirror-ball-motor',
  'hazer',
  'fog-machine',
];

describe('The typical light of the library', () => {
  it.each([...library.values()].filter(({ id }) => !without.includes(id)))('agrees with itself: $id', ({ typical, beam }) => {
    expect(typical?.flux).toBeDefined();
    const [least, most] = [0, 1].map((i) => intensityOf(typical?.flux?.[i] ?? 0, beam?.angle ?? 0));
    const [low = 0, high = 0] = typical?.candela ?? [];
    // Ranges of practice: by their middles within a factor of three. A wide lamp is no bell, and a derby many beams.
    if ((beam?.angle ?? 180) <= 60)
      expect(Math.abs(Math.log(Math.sqrt((least ?? 0) * (most ?? 0)) / Math.sqrt(low * high)))).toBeLessThan(Math.log(3));
  });
});

import { describe, expect, it } from 'vitest';
import { compileShow } from '../../node/playback/compile.ts';
import { brightnessOf, intensityOf } from '../../node/rig/brightness.ts';
import type { FixtureTypeInput } from '../../node/rig/fixture-type.ts';
import { readDescription } from '../../node/rig/gdtf/read.ts';
import { library } from '../../node/rig/library.ts';
import { place, tinyShow } from '../helpers/tiny-show.ts';
import { description, plain } from './gdtf/made-file.ts';

const channels = [{ slot: 1, functions: [{ attribute: 'ColorAdd_R' as const }] }];
const of = (type: Omit<FixtureTypeInput, 'id' | 'name' | 'modes'>, more = {}, full = 900) => {
  const show = tinyShow({
    fixtureTypes: [{ id: 'own', name: 'Own', ...type, modes: [{ id: 'm', name: 'M', channels }] }],
    fixtures: [{ ...place('lamp', 'own', 'm', 1), ...more }],
  });
  const [fixture] = compileShow(show).rig.fixtures;
  if (fixture === undefined) throw new Error('no lamp');
  return brightnessOf(fixture, fixture.lamps[0], full);
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

/** GDTF, DIN SPEC 15800:2022-02: LuminousFlux of a beam is that of all its emitters; references stand for what they refer to. */
describe('How bright a lamp with several beams is', () => {
  const beam = (name: string, angle: number, flux?: number) =>
    `<Beam Name="${name}" BeamAngle="${angle}" FieldAngle="${angle}"${flux === undefined ? '' : ` LuminousFlux="${flux}"`}/>`;
  const cells = (of: string) =>
    ['1', '4']
      .map(
        (at, i) => `<GeometryReference Name="C${i}" Geometry="${of}"><Break DMXBreak="1" DMXOffset="${at}"/></GeometryReference>`,
      )
      .join('');
  const rgb = (geometry: string, first = 1) =>
    ['R', 'G', 'B'].map((name, i) => plain(`${first + i}`, `ColorAdd_${name}`, '', `Geometry="${geometry}"`)).join('');
  /** Candela of the whole and the parts, as far as they mix. */
  const candela = (geometries: string, channels: string) => {
    const type = readDescription(description({ geometries, channels }));
    const mode = type.modes[0]?.id ?? '';
    const show = tinyShow({ fixtureTypes: [type], fixtures: [place('lamp', type.id, mode, 1)] });
    const [fixture] = compileShow(show).rig.fixtures;
    return fixture?.lamps.filter(({ emitters }) => emitters.length > 0).map((lamp) => brightnessOf(fixture, lamp, 1).candela);
  };

  // Φ ln 2 / (π h²): 1000 lm in 20 degrees 7243 cd, in 40 degrees a quarter of that, 1811 cd.
  it('is the sum of them where they are lit as one', () => {
    const body = `<Geometry Name="Body">${beam('A', 20, 1000)}${beam('B', 40, 1000)}</Geometry>`;
    expect(candela(body, rgb('Body'))).toEqual([expect.closeTo(7243 + 1811, -1)]);
    const bar = `<Geometry Name="Body"><GeometryReference Name="X" Geometry="Cell"/><GeometryReference Name="Y" Geometry="Cell"/></Geometry>`;
    expect(candela(`${bar}<Geometry Name="Cell">${beam('A', 20, 1000)}</Geometry>`, rgb('Body'))).toEqual([
      expect.closeTo(2 * 7243, -1),
    ]);
  });

  it('is that of its own beam where a part is lit by itself', () => {
    const body = `<Geometry Name="Body">${beam('Flood', 40, 1000)}${cells('Cell')}</Geometry><Geometry Name="Cell">${beam('A', 20, 1000)}</Geometry>`;
    expect(candela(body, rgb('Cell') + rgb('Flood', 10))).toEqual([1811, 7243, 7243].map((one) => expect.closeTo(one, -1)));
  });

  it('is not known where one of them is not', () => {
    const body = `<Geometry Name="Body">${beam('A', 20)}</Geometry>`;
    expect(candela(body, rgb('Body'))).not.toEqual([expect.closeTo(7243, -1)]);
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

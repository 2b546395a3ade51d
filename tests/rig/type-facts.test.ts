import { describe, expect, it } from 'vitest';
import { fixtureType } from '../../node/rig/fixture-type.ts';
import { readDescription } from '../../node/rig/gdtf/read.ts';
import { library } from '../../node/rig/library.ts';
import { factsOf } from '../../node/rig/type-facts.ts';
import { description, plain } from './gdtf/made-file.ts';

const facts = (type: Parameters<typeof factsOf>[0]) => Object.fromEntries(factsOf(type).map(({ what, value }) => [what, value]));

describe('What is known of a kind of lamp', () => {
  it('is what its file says, with units', () => {
    const read = readDescription(
      description({
        physical: '<Properties><Weight Value="14.25"/><PowerConsumption Value="380" PowerFactor="0.95"/></Properties>',
        geometries:
          '<Geometry Name="Body"><Beam Name="Lens" BeamAngle="12" FieldAngle="20" LuminousFlux="12500" ColorTemperature="6800"/></Geometry>',
        channels:
          // 540 degrees in 3 seconds (table 60, RealFade).
          plain('1', 'Pan', 'PhysicalFrom="-270" PhysicalTo="270" RealFade="3"') +
          plain('2', 'Tilt', 'PhysicalFrom="130" PhysicalTo="-110"') +
          plain('3', 'Zoom', 'PhysicalFrom="7" PhysicalTo="50.5"') +
          plain('4', 'Dimmer'),
      }),
    );
    expect(facts(read)).toEqual({
      Beam: '12° at half, 20° at a tenth of the middle',
      Zoom: '7–50.5°',
      Light: '12\u00a0500 lm',
      // Φ ln 2 / (π h²) with half the angle in radians: 12500 × 0.6931 / (π × 0.10472²) = 251,500.
      'In the middle': 'about 250\u00a0000 cd, by its lumens and its angle',
      Source: '6800 K',
      Pan: '540° (−270 to 270°), up to 180° a second',
      Tilt: '240° (−110 to 130°)',
      Power: '380 W, power factor 0.95 (400 VA)',
      Weight: '14.3 kg',
    });
  });

  it('is of the library what is usual, and said so', () => {
    const { Light, Pan, Weight, 'All of these': all, ...rest } = facts(library.get('wash-head') as Parameters<typeof factsOf>[0]);
    expect([Light, Weight]).toEqual(['2000–8000 lm', '8 kg']);
    expect(Pan).toBe('540° (−270 to 270°), up to 150–270° a second');
    expect(all).toBe('usual of its kind');
    expect(rest).toMatchObject({ Zoom: '10–60°', Strobe: '0.5–20 Hz' });
  });

  it('is nothing of what nobody has told', () => {
    const channels = [{ slot: 1, functions: [{ attribute: 'Dimmer' }] }];
    expect(factsOf(fixtureType.parse({ id: 'own', name: 'Own', modes: [{ id: 'm', name: 'M', channels }] }))).toEqual([]);
  });

  it('is of every lamp of the library what it weighs and draws', () => {
    const lamps = [...library.values()].filter(({ typical }) => typical !== undefined);
    expect(lamps.length).toBeGreaterThan(15);
    for (const type of lamps) expect(Object.keys(facts(type)), type.id).toEqual(expect.arrayContaining(['Weight', 'Power']));
  });
});

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readDescription } from '../../../node/rig/gdtf/read.ts';
import { description, type Made, plain } from './made-file.ts';

/** GDTF, DIN SPEC 15800:2022-02; expected values worked out by hand from its tables. */
const file = (name: string) => readDescription(readFileSync(new URL(`foreign/${name}.xml`, import.meta.url), 'utf8'));
const read = (made: Made) => readDescription(description({ channels: plain('1', 'Dimmer'), ...made }));

describe('the body of a lamp', () => {
  const head = file('12-head-that-rests-aside');

  it('is kept piece by piece, each on the one that it moves with, and channels name theirs', () => {
    expect(head.geometry).toMatchObject([
      { name: 'Base', kind: 'body' },
      { name: 'Yoke', kind: 'axis', on: 0 },
      { name: 'Head', kind: 'axis', on: 1 },
      { name: 'Lens', kind: 'beam', on: 2 },
    ]);
    expect(head.modes[0]?.geometry).toBe('Base');
    expect(head.modes[0]?.channels.map(({ geometry }) => geometry)).toEqual(['Yoke', 'Head', 'Lens']);
  });

  // Table 1, Matrix: rows, the rotation in the first three columns and the offset in the fourth; metres.
  it('has its offsets in metres', () => {
    expect(head.geometry?.[0]?.position).toBeUndefined();
    expect(head.geometry?.[1]?.position).toEqual([1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, -0.12]);
    const turned = '<Geometry Name="Body" Position="{0,-1,0,0.5}{1,0,0,-0,25}{0,0,1,0}{0,0,0,1}"/>';
    expect(read({ geometries: turned }).source?.left.join()).toContain('position of geometry "Body" cannot be read');
    const right = '<Geometry Name="Body" Position="{0,-1,0,0.5}{1,0,0,-0.25}{0,0,1,0}{0,0,0,1}"/>';
    expect(read({ geometries: right }).geometry?.[0]?.position).toEqual([0, -1, 0, 0.5, 1, 0, 0, -0.25, 0, 0, 1, 0]);
  });

  // Table 41.
  it('has what each lens gives', () => {
    expect(head.geometry?.[3]?.beam).toEqual({
      type: 'spot',
      angle: 9,
      field: 12,
      radius: 0.06,
      flux: 8000,
      powerW: 300,
      temperature: 7200,
    });
    expect(read({ geometries: '<Geometry Name="Body"><Beam Name="L" BeamType="Glow"/></Geometry>' }).geometry?.[1]?.beam).toEqual({
      type: 'glow',
      angle: 25,
      field: 25,
    });
  });

  // Table 60: 540 degrees in 2.7 seconds are 200 a second, reached in 0.6 seconds; 270 in 1.8 are 150.
  it('moves as fast as the file says', () => {
    const [pan, tilt] = head.modes[0]?.channels.map(({ functions }) => functions[0]) ?? [];
    expect(pan?.speed).toBeCloseTo(200, 9);
    expect(pan?.acceleration).toBeCloseTo(200 / 0.6, 9);
    expect(tilt?.speed).toBeCloseTo(150, 9);
    expect(tilt?.acceleration).toBeUndefined();
  });

  it('has copies by the name of what is copied', () => {
    expect(file('09-two-start-addresses').geometry?.filter(({ kind }) => kind === 'copy')).toMatchObject([
      { name: 'Left', of: 'Pixel', on: 2 },
      { name: 'Right', of: 'Pixel', on: 2 },
    ]);
  });

  // Table 46.
  it('of a laser has its opening, and the file says that it is one', () => {
    const laser = file('19-laser-without-a-shutter');
    expect(laser.kind).toBe('laser');
    expect(laser.geometry?.[1]).toMatchObject({
      kind: 'laser',
      laser: { wavelength: 532, outputW: 0.5, diameter: 0.004, divergence: 1.2, scanPan: 50, scanTilt: 40 },
    });
    const said = laser.source?.left.join('\n') ?? '';
    expect(said).toContain('This is a laser');
    expect(said).toContain('Mode "m": nothing is known to close this laser');
    expect(said).not.toContain('Mode "with dimmer"');
  });

  it.each([
    ['an attribute', { channels: plain('1', 'LaserPattern1') + plain('2', 'Dimmer') }],
    ['a geometry', { geometries: '<Geometry Name="Body"><Laser Name="x"/></Geometry>' }],
  ])('of a laser is known by %s', (_what, made) => {
    expect(read(made).kind).toBe('laser');
    expect(read({}).kind).toBeUndefined();
  });

  it('has as many pieces as can be kept, and the others are told', () => {
    const geometries = `<Geometry Name="Body">${Array.from({ length: 2100 }, (_, i) => `<Beam Name="b${i}"/>`).join('')}</Geometry>`;
    expect(read({ geometries }).geometry).toHaveLength(2000);
    expect(read({ geometries }).source?.left.join()).toContain('the first 2000 are kept, 101');
  });
});

// Table 50 and the power consumption of the properties: 100 W at 0.5 and 100 W at 1 are 300 VA together.
describe('the power of a lamp', () => {
  const consumer = (watts: number, phi: string) =>
    `<WiringObject Name="c${watts}${phi.length}" ComponentType="Consumer" ElectricalPayLoad="${watts}" ${phi}/>`;
  const body = (inside: string) => ({ geometries: `<Geometry Name="Body">${inside}</Geometry>` });

  it('has its factor where each consumer tells it', () => {
    expect(read(body(consumer(100, 'CosPhi="0.5"') + consumer(100, 'CosPhi="1"'))).powerFactor).toBeCloseTo(200 / 300, 9);
    expect(read(body(consumer(100, 'CosPhi="0.5"') + consumer(100, ''))).powerFactor).toBeUndefined();
    const physical = '<Properties><PowerConsumption Value="60" PowerFactor="0.9"/></Properties>';
    expect(read({ physical })).toMatchObject({ powerW: 60, powerFactor: expect.closeTo(0.9, 9) });
  });
});

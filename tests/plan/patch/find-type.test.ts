import { describe, expect, it } from 'vitest';
import { type Findable, findTypes } from '../../../node/plan/patch/find-type.ts';
import { footprint } from '../../../node/rig/fixture-type.ts';
import { library } from '../../../node/rig/library.ts';
import { lampKindOf } from '../../../node/show/usual-use.ts';

interface Row extends Findable {
  readonly id: string;
}

const own: Row = {
  id: 'invented-moth',
  name: 'Moth 250',
  maker: 'Invented Lamps',
  words: ['moving head'],
  use: 'beam',
  modes: [
    { id: 'basic', name: 'Basic', channels: 2 },
    { id: 'tour', name: 'Tour mode, extended', channels: 24 },
  ],
};
const rows: Row[] = [
  ...[...library.values()].map((type) => {
    const { words, use } = lampKindOf(type);
    const modes = type.modes.map((mode) => ({ id: mode.id, name: mode.name, channels: footprint(mode) }));
    return { id: type.id, name: type.name, words, use, modes };
  }),
  own,
];
const found = (text: string) => findTypes(rows, text).map(({ type }) => type.id);
const modes = (text: string) =>
  findTypes(rows, text).map(({ type, modes }) => `${type.id}: ${modes.map(({ channels }) => channels).join(' ')}`);

describe('A kind of lamp is found', () => {
  it('by what it is', () => {
    expect(found('par').length).toBeGreaterThan(5);
    expect(found('par').slice(0, 3)).toContain('rgb-par');
    expect(found('moving heads')).toEqual(expect.arrayContaining(['wash-head', 'spot-head', 'invented-moth']));
    expect(found('smoke')).toEqual(['fog-machine']);
    expect(found('Hazer')).toEqual(['hazer']);
    expect(found('pin spots').slice(0, 2)).toEqual(['pinspot', 'rgbw-pinspot']);
  });

  it('by how many channels it is set to: then only those modes are meant', () => {
    expect(modes('9 channels')).toEqual(expect.arrayContaining(['six-colour-par: 9', 'battery-uplight: 9']));
    for (const row of modes('9 channels')) expect(row).toMatch(/: 9( 9)*$/);
    expect(modes('uplight 7')[0]).toBe('battery-uplight: 7');
    expect(modes('uplight 7ch')[0]).toBe('battery-uplight: 7');
  });

  it('by what it is for, those that are called so first', () => {
    expect(found('uplight')[0]).toBe('battery-uplight');
    expect(found('uplight')).toContain('rgbw-par');
    expect(found('uplighters')[0]).toBe('battery-uplight');
  });

  it('by its maker, by its maker’s number, and by the name of a mode', () => {
    expect(found('invented')).toEqual(['invented-moth']);
    expect(modes('moth 250')).toEqual(['invented-moth: 2 24']);
    expect(modes('tour')).toEqual(['invented-moth: 24']);
    expect(modes('moth extended')).toEqual(['invented-moth: 24']);
  });

  it('however it is written, and not by what nobody has said', () => {
    expect(found('Pár  RED')).toContain('rgb-par');
    expect(found('up light')).toContain('battery-uplight');
    expect(found('par submarine')).toEqual([]);
    expect(found('')).toHaveLength(rows.length);
  });
});

/** By the names of the library's lamps: what each is hung for in practice, as far as its name tells. */
it.each([
  ['hazer', 'haze'],
  ['fog-machine', 'haze'],
  ['battery-uplight', 'uplight'],
  ['rgbw-par', 'uplight'],
  ['wash-head', 'dance wash'],
  ['spot-head', 'spot'],
  ['beam-head', 'beam'],
  ['wheel-beam-head', 'beam'],
  ['scanner', 'spot'],
  ['blinder-pair', 'blinder'],
  ['strobe-panel', 'blinder'],
  ['pinspot', 'centrepiece'],
  ['pixel-tube', 'totem'],
  ['uv-flood', 'dance wash'],
  ['dimmer', 'uplight'],
])('a %s is mostly used as %s', (id, use) => {
  const type = library.get(id);
  expect(type && lampKindOf(type).use).toBe(use);
});

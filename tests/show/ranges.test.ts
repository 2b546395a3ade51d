import { describe, expect, it } from 'vitest';
import { attributes, type DirectName, directNames } from '../../node/core/attributes.ts';
import { checkShow } from '../../node/show/read.ts';
import { type Spoilable, smallShow } from './small-show.ts';

/** Fields of a part, and the attribute that each stands for. */
const fields = [
  ['level', 'Dimmer'],
  ['gobo', 'Gobo1'],
  ['zoom', 'Zoom'],
  ['uv', 'ColorAdd_UV'],
  ['strobe', 'Shutter1Strobe'],
  ['haze', 'Haze1'],
  ['fan', 'Fan1'],
] as const satisfies readonly (readonly [string, DirectName])[];

function takes(change: (part: Spoilable) => void): boolean {
  const show: Spoilable = smallShow();
  change(show.looks[0].parts[0]);
  try {
    // As a file brings it: JSON has no way to write what is no number, but 1e999 is read as infinite.
    checkShow(JSON.parse(JSON.stringify(show).replaceAll('"1e999"', '1e999')));
    return true;
  } catch {
    return false;
  }
}

describe.each(directNames)('a show that asks for %s', (name) => {
  const { range, unit } = attributes[name];
  const [least, most] = range;
  const asks = (value: unknown) => takes((part) => (part.attributes = { [name]: value }));

  it('may ask for all of its range and for nothing beyond', () => {
    for (const value of [least, most, Math.round((least + most) / 2)]) expect(asks(value), String(value)).toBe(true);
    for (const value of [least - 1, most + 1, 1e308, -1e308, '1e999', null]) expect(asks(value), String(value)).toBe(false);
    expect(asks((least + most) / 2 + 0.25)).toBe(unit !== 'slot');
  });

  it.each(fields.filter(([, attribute]) => attribute === name))('is asked the same of its field "%s"', (field) => {
    const asksField = (value: unknown) => takes((part) => (part[field] = value));
    for (const value of [least, most, least - 1, most + 1, 1e308, '1e999', (least + most) / 2 + 0.25])
      expect(asksField(value), String(value)).toBe(asks(value));
  });
});

describe('the aim of a part', () => {
  it('has the ranges of pan and tilt', () => {
    const aims = (pan: number, tilt: number) => takes((part) => (part.aim = { pan, tilt }));
    expect(aims(540, -270)).toBe(true);
    expect(aims(541, 0)).toBe(false);
    expect(aims(0, -271)).toBe(false);
  });
});

import { converter } from 'culori';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { placeOf } from '../../../node/light/colour-plane.ts';
import { parseColour } from '../../../node/light/colour-value.ts';
import { chromaticityOf } from '../../../node/light/of-value.ts';
import { valueAt } from '../../../ui/src/bench/colours/value-at.ts';

const rgb = converter('rgb');
const share = fc.double({ min: 0, max: 1, noNaN: true });
const at = (value: string): readonly [number, number] => {
  const parsed = parseColour(value);
  const found = parsed && chromaticityOf(parsed, () => ({ kind: 'kelvin', kelvin: 3000 }));
  if (found === undefined) throw new Error(`${value} is no light`);
  return found;
};

describe('What is picked on the plane', () => {
  test('is written as a document has colours, wherever it is', () => {
    fc.assert(fc.property(share, share, (across, up) => parseColour(valueAt({ across, up })) !== undefined));
  });

  test('is the colour of a screen that was there, as bright as can be', () => {
    const part = fc.integer({ min: 0, max: 255 });
    fc.assert(
      fc.property(part, part, (one, other) => {
        for (const bytes of [
          [255, one, other],
          [other, 255, one],
        ]) {
          const hex = `#${bytes.map((byte) => byte.toString(16).padStart(2, '0')).join('')}`;
          const [found, wanted] = [rgb(valueAt(placeOf(...at(hex)))), rgb(hex)];
          for (const name of ['r', 'g', 'b'] as const) expect(Math.abs(found[name] - wanted[name])).toBeLessThan(0.02);
        }
      }),
    );
  });

  test('is a chromaticity where no screen has it: blue and red of lamps', () => {
    for (const [wantedX, wantedY] of [
      [0.16, 0.02],
      [0.7, 0.295],
    ] as const) {
      const value = valueAt(placeOf(wantedX, wantedY));
      expect(value).toMatch(/^xy /);
      const [x, y] = at(value);
      expect(Math.hypot(x - wantedX, y - wantedY)).toBeLessThan(0.01);
    }
  });
});

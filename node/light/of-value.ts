import type { ColourValue } from './colour-value.ts';
import { linearToXyz, toLinear } from './oklab.ts';
import { planckian } from './temperature.ts';

/** The client's colour by its id; a reader has seen to it that it exists. */
export type Theme = (id: string) => ColourValue;

/** CIE 1931 chromaticity of a document's colour; undefined for black, which has none. How bright it shall be is a level's business. */
export function chromaticityOf(value: ColourValue, theme: Theme): readonly [x: number, y: number] | undefined {
  switch (value.kind) {
    case 'srgb': {
      const [X, Y, Z] = linearToXyz([toLinear(value.red), toLinear(value.green), toLinear(value.blue)]);
      const sum = X + Y + Z;
      return sum > 0 ? [X / sum, Y / sum] : undefined;
    }
    case 'kelvin':
      return planckian(value.kelvin);
    case 'xy':
      return [value.x, value.y];
    case 'theme':
      return chromaticityOf(theme(value.id), theme);
  }
}

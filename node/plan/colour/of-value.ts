import type { ColourValue } from '../../show/colour-value.ts';
import { linearToOklab, type Triple, toLinear, xyToLinear } from './oklab.ts';
import { planckian } from './temperature.ts';

/** A document's colour as Oklab. `theme` looks up the client's colour by its id; a reader has seen to it that it exists. */
export function oklabOf(value: ColourValue, theme: (id: string) => ColourValue): Triple {
  switch (value.kind) {
    case 'srgb':
      return linearToOklab([toLinear(value.red), toLinear(value.green), toLinear(value.blue)]);
    case 'kelvin':
      return linearToOklab(xyToLinear(...planckian(value.kelvin)));
    case 'xy':
      return linearToOklab(xyToLinear(value.x, value.y));
    case 'theme':
      return oklabOf(theme(value.id), theme);
  }
}

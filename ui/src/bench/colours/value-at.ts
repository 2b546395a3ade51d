import { chromaticityAtPlace, type Place } from '../../../../node/light/colour-plane.ts';
import { toEncoded, xyzToLinear } from '../../../../node/light/oklab.ts';

/** Less of a part than this is rounding. */
const NOTHING = -0.002;

/** A colour of the plane as a document writes it: as a screen has it, `#f7e7ce`; what no screen has, by its chromaticity, `xy 0.1500 0.0400`. */
export function valueAt(place: Place): string {
  const [x, y] = chromaticityAtPlace(place);
  const linear = xyzToLinear([x / y, 1, (1 - x - y) / y]);
  const most = Math.max(...linear);
  if (linear.some((part) => part / most < NOTHING)) return `xy ${x.toFixed(4)} ${y.toFixed(4)}`;
  const bytes = linear.map((part) => Math.round(255 * toEncoded(Math.max(0, part) / most)));
  return `#${bytes.map((byte) => byte.toString(16).padStart(2, '0')).join('')}`;
}

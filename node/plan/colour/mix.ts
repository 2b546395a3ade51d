import type { AttributeName } from '../../core/attributes.ts';

/** Green beside a red of 1 in the light of an amber emitter: GDTF annex B's nominal amber (xy 0.477, 0.460) is linear sRGB 1, 0.4995, -0.0009. */
const AMBER_GREEN = 0.4995;

/**
 * Levels 0..1 for the emitters of one fixture, for a colour in linear sRGB, scaled so that the strongest emitter is full: how bright it
 * shall be is the dimmer's business. White takes over what red, green and blue have in common, amber what is left of red and green.
 * `rgb` is used up. A colour with no light in it gives all zeros.
 */
export function mix(rgb: Float64Array, emitters: readonly AttributeName[], out: Float64Array): void {
  let r = Math.max(0, rgb[0] as number);
  let g = Math.max(0, rgb[1] as number);
  let b = Math.max(0, rgb[2] as number);
  let white = 0;
  let amber = 0;
  if (emitters.includes('ColorAdd_W')) {
    white = Math.min(r, g, b);
    r -= white;
    g -= white;
    b -= white;
  }
  if (emitters.includes('ColorAdd_RY')) {
    amber = Math.min(r, g / AMBER_GREEN);
    r -= amber;
    g -= amber * AMBER_GREEN;
  }
  let most = 0;
  for (let i = 0; i < emitters.length; i++) {
    const part = emitterPart(emitters[i] as AttributeName, r, g, b, white, amber);
    out[i] = part;
    most = Math.max(most, part);
  }
  for (let i = 0; i < emitters.length; i++) out[i] = most > 1e-6 ? (out[i] as number) / most : 0;
}

function emitterPart(emitter: AttributeName, r: number, g: number, b: number, white: number, amber: number): number {
  switch (emitter) {
    case 'ColorAdd_R':
      return r;
    case 'ColorAdd_G':
      return g;
    case 'ColorAdd_B':
      return b;
    case 'ColorAdd_W':
      return white;
    case 'ColorAdd_RY':
      return amber;
    default:
      return 0;
  }
}

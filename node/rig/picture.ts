import type { Frame } from '../core/frame.ts';
import { toEncoded } from '../light/oklab.ts';
import { type LampLight, lampLights } from './light-of.ts';
import type { Rig } from './rig.ts';

/** A frame as a screen shows it: every fixture in its colour, exposed so that its own brightest white is the screen's. */
export class Picture {
  readonly #lamps: readonly LampLight[];
  readonly #linear: Float64Array;

  constructor(rig: Rig) {
    this.#lamps = lampLights(rig);
    this.#linear = new Float64Array(3 * rig.fixtures.length);
  }

  /** Colour of every fixture as 0xRRGGBB in sRGB, in the order of the patch; 0 is dark. What gives no light stays 0. */
  colours(frame: Frame): number[] {
    const linear = this.#linear.fill(0);
    for (const lamp of this.#lamps) {
      lamp.look(frame);
      for (let i = 0; i < 3; i++) {
        const at = 3 * lamp.fixture + i;
        linear[at] = (linear[at] as number) + (lamp.light[i] as number) * lamp.exposure * lamp.share;
      }
    }
    return Array.from({ length: linear.length / 3 }, (_, i) => pack(linear.subarray(3 * i, 3 * i + 3)));
  }
}

/** What is too bright for a screen keeps its colour and is shown as bright as it goes; what lies outside its gamut is cut. */
function pack(linear: Float64Array): number {
  const most = Math.max(1, ...linear);
  let packed = 0;
  for (const part of linear) packed = packed * 256 + Math.round(toEncoded(Math.max(0, part) / most) * 255);
  return packed;
}

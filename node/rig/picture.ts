import type { Frame } from '../core/frame.ts';
import { toEncoded } from '../light/oklab.ts';
import { type LampLight, lampLights } from './light-of.ts';
import type { Rig } from './rig.ts';

/** A frame as a screen shows it: every fixture in its colour, exposed so that its own brightest white is the screen's. */
export class Picture {
  readonly #lamps: readonly LampLight[];
  readonly #linear: Float64Array;
  /** Places in the patch of what turns, and the cells of its pan and tilt. */
  readonly #heads: readonly { readonly place: number; readonly pan: number; readonly tilt: number }[];

  constructor(rig: Rig) {
    this.#lamps = lampLights(rig);
    this.#linear = new Float64Array(3 * rig.fixtures.length);
    this.#heads = rig.fixtures.flatMap(({ lamps: [{ cells }] }, place) => {
      const [pan, tilt] = [cells.get('Pan'), cells.get('Tilt')];
      return pan === undefined || tilt === undefined ? [] : [{ place, pan, tilt }];
    });
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

  /** Pan and tilt of every head, in whole degrees. */
  aims(frame: Frame): number[] {
    return this.#heads.flatMap(({ pan, tilt }) => [Math.round(frame[pan] ?? 0), Math.round(frame[tilt] ?? 0)]);
  }

  /** Places in the patch of the heads, in the order of {@link aims}. */
  get heads(): readonly number[] {
    return this.#heads.map(({ place }) => place);
  }

  /** Whether a fixture, by its place in the patch, strobed in the frame that was looked at last. */
  strobes(place: number): boolean {
    return this.#lamps.some(({ fixture, hertz }) => fixture === place && hertz > 0);
  }
}

/** What is too bright for a screen keeps its colour and is shown as bright as it goes; what lies outside its gamut is cut. */
function pack(linear: Float64Array): number {
  const most = Math.max(1, ...linear);
  let packed = 0;
  for (const part of linear) packed = packed * 256 + Math.round(toEncoded(Math.max(0, part) / most) * 255);
  return packed;
}

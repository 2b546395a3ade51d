import type { AttributeName } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Adjustments } from '../rig/adjustments.ts';
import type { Rig } from '../rig/rig.ts';

type Axis = keyof NonNullable<Adjustments['limits']>;
const axes = { pan: 'Pan', tilt: 'Tilt' } as const satisfies Record<Axis, AttributeName>;

/**
 * Turns what was asked of heads into what they do: angles are kept within what the patch permits, whoever asks for more.
 */
export class Resolver {
  readonly #cells: Uint32Array;
  readonly #least: Float64Array;
  readonly #most: Float64Array;

  constructor({ fixtures }: Rig) {
    const limited = fixtures.flatMap(({ lamps, adjust }) =>
      lamps.flatMap(({ cells }) =>
        (Object.keys(axes) as Axis[]).flatMap((axis) => {
          const cell = cells.get(axes[axis]);
          const range = adjust.limits?.[axis];
          return cell === undefined || range === undefined ? [] : [{ cell, range }];
        }),
      ),
    );
    this.#cells = Uint32Array.from(limited, ({ cell }) => cell);
    this.#least = Float64Array.from(limited, ({ range }) => range[0]);
    this.#most = Float64Array.from(limited, ({ range }) => range[1]);
  }

  resolve(frame: Frame): void {
    for (let i = 0; i < this.#cells.length; i++) {
      const cell = this.#cells[i] as number;
      frame[cell] = Math.min(this.#most[i] as number, Math.max(this.#least[i] as number, frame[cell] as number));
    }
  }
}

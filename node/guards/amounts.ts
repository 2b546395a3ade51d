import { attribute, isEmitter } from '../core/attributes.ts';
import type { RigFixture } from '../rig/rig.ts';

/** A cell by which less light leaves a fixture. */
export interface Amount {
  readonly cell: number;
  /** It goes down with a level; otherwise it is but closed at 0. */
  readonly shades: boolean;
  /** It is a level, and no share of an emitter's light. */
  readonly isLevel: boolean;
}

/** Every amount of light of a fixture. One that has none, a shutter or a strobe only, can but be closed. */
export function amountsOf({ lamps: [whole, ...parts] }: RigFixture): Amount[] {
  // Where the whole has a dimmer it takes its parts down with it.
  const lamps = whole.hasDimmer ? [whole] : [whole, ...parts];
  const cells = lamps.flatMap(({ cells: own, hasDimmer }) => [...own].map(([name, cell]) => ({ name, cell, hasDimmer })));
  const amounts = cells.filter(({ name }) => attribute(name).intensity || isEmitter(name));
  if (amounts.length === 0)
    return cells
      .filter(({ name }) => name === 'Shutter1' || name === 'Shutter1Strobe')
      .map(({ cell }) => ({ cell, shades: false, isLevel: true }));
  // A dimmer channel takes the lamp's UV and emitters down with it, so they are but closed at 0; twice down would be too far.
  return amounts.map(({ name, cell, hasDimmer }) => ({
    cell,
    shades: name === 'Dimmer' || !hasDimmer,
    isLevel: !isEmitter(name),
  }));
}

import { attribute, isEmitter } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Lamp, RigFixture } from '../rig/rig.ts';
import { force } from './guard.ts';

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
  return amountsIn(whole.hasDimmer ? [whole] : [whole, ...parts]);
}

/** Those of one part alone, where it can be dimmed by itself; else those of its whole. */
export function amountsOfPart(fixture: RigFixture, lamp: Lamp): Amount[] {
  const own = lamp.part === 0 ? [] : amountsIn([lamp]);
  return own.some(({ shades }) => shades) ? own : amountsOf(fixture);
}

function amountsIn(lamps: readonly Lamp[]): Amount[] {
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

/** Leaves a share of its level to a fixture; at none of it what has no level is closed. @returns whether that changed anything */
export function dim(frame: Frame, amounts: readonly Amount[], share: number): boolean {
  let acted = false;
  for (let i = 0; i < amounts.length; i++) {
    const { cell, shades, isLevel } = amounts[i] as Amount;
    const value = frame[cell] as number;
    // Light of an emitter goes with the cube of lightness, nearly; one that follows the colour is below 0.
    if (value > 0 && (shades || share <= 0) && force(frame, cell, value * (isLevel ? share : share ** 3))) acted = true;
  }
  return acted;
}

import type { Millis } from '../../core/units.ts';
import type { LampLight } from '../../rig/light-of.ts';
import type { Rig, RigFixture } from '../../rig/rig.ts';
import { standsAt } from '../stands-at.ts';
import { note, shift } from './changes.ts';
import { type Luminances, newLuminances, takeLuminance } from './luminance.ts';
import { newReds, type Reds, takeRed } from './red.ts';
import { newRedLevels, type RedLevels, takeRedLevel } from './red-level.ts';
import { newRates, type Rates, takeRate } from './strobes.ts';

/** What the flash guard remembers. Lights are all lamps, then the uses, then all lamps together. */
export interface FlashMemory {
  /** Of the last frame; not a number before the first. */
  now: Millis;
  /** Where each lamp stands (its start address, and its part), and the names of the uses: by them they are known again. */
  readonly lamps: readonly string[];
  readonly uses: readonly string[];
  readonly fixtures: readonly string[];
  /** Cells of every lamp in its turn, its own and those of the whole before it, and what they held in the last frame that was let through. */
  readonly cells: readonly Uint32Array[];
  readonly frame: Float64Array;
  /** Linear red, green and blue that each light showed in it; hertz of each lamp's strobe. */
  readonly shown: Float64Array;
  readonly hertz: Float64Array;
  /** Rate that each lamp's strobe was asked for, and since when. */
  readonly asked: Float64Array;
  readonly askedSince: Float64Array;
  readonly luminances: Luminances;
  readonly reds: Reds;
  readonly redLevels: RedLevels;
  readonly rates: Rates;
  /** When each light had to be held last, or was blacked out. */
  readonly heldAt: Float64Array;
  /**
   * When each fixture began to rise from the dark; not a number while it is kept there. At a start it is taken for risen: lamps hold what
   * they got last, so after a restart the same picture is no change at all, and a fade from the dark would be one.
   */
  readonly risesFrom: Float64Array;
  /** Lights of which nothing is known yet (1). */
  readonly unknown: Uint8Array;
}

/** Of a lamp: whatever it is called in a show, what stands at an address is what the light comes from. */
export const lampName = (rig: Rig, { fixture, part }: LampLight): string =>
  `${standsAt(rig.fixtures[fixture] as RigFixture)} ${part}`;

export function memoryFor(rig: Rig, lamps: readonly LampLight[], uses: readonly string[], before?: FlashMemory): FlashMemory {
  const lights = lamps.length + uses.length + 1;
  const memory: FlashMemory = {
    now: before?.now ?? Number.NaN,
    lamps: lamps.map((lamp) => lampName(rig, lamp)),
    uses,
    fixtures: rig.fixtures.map(standsAt),
    cells: lamps.map(({ cells, gates }) => Uint32Array.of(...cells, ...gates)),
    frame: Float64Array.from(rig.rest, (rest, cell) =>
      Number.isNaN(rig.atBlackout[cell]) ? rest : (rig.atBlackout[cell] as number),
    ),
    shown: new Float64Array(3 * lights),
    hertz: new Float64Array(lamps.length),
    asked: new Float64Array(lamps.length),
    askedSince: new Float64Array(lamps.length),
    luminances: newLuminances(lights),
    reds: newReds(lights),
    redLevels: newRedLevels(lights),
    rates: newRates(lights),
    heldAt: new Float64Array(lights).fill(Number.NEGATIVE_INFINITY),
    risesFrom: new Float64Array(rig.fixtures.length).fill(Number.NEGATIVE_INFINITY),
    unknown: new Uint8Array(lights).fill(1),
  };
  if (before !== undefined) takeOver(memory, before);
  return memory;
}

/** What the other memory knows of the same lamps, fixtures and uses, and of all together. */
function takeOver(memory: FlashMemory, before: FlashMemory): void {
  memory.luminances.rowTimes.set(before.luminances.rowTimes);
  memory.luminances.row.set(before.luminances.row);
  memory.redLevels.rowTimes.set(before.redLevels.rowTimes);
  memory.redLevels.row.set(before.redLevels.row);
  for (const [lamp, other] of pairs(memory.lamps, before.lamps)) {
    const [cells, otherCells] = [memory.cells[lamp], before.cells[other]];
    // A lamp in another mode is another lamp.
    if (cells?.length !== otherCells?.length) continue;
    takeLight(memory, lamp, before, other);
    cells?.forEach((cell, i) => {
      memory.frame[cell] = before.frame[otherCells?.[i] ?? -1] as number;
    });
    memory.hertz[lamp] = before.hertz[other] as number;
    memory.asked[lamp] = before.asked[other] as number;
    memory.askedSince[lamp] = before.askedSince[other] as number;
  }
  for (const [use, other] of pairs(memory.uses, before.uses))
    takeLight(memory, memory.lamps.length + use, before, before.lamps.length + other);
  takeLight(memory, memory.luminances.lights - 1, before, before.luminances.lights - 1);
  for (const [fixture, other] of pairs(memory.fixtures, before.fixtures))
    memory.risesFrom[fixture] = before.risesFrom[other] as number;
}

function takeLight(memory: FlashMemory, light: number, before: FlashMemory, other: number): void {
  takeLuminance(memory.luminances, light, before.luminances, other);
  takeRed(memory.reds, light, before.reds, other);
  takeRedLevel(memory.redLevels, light, before.redLevels, other);
  takeRate(memory.rates, light, before.rates, other);
  for (let i = 0; i < 3; i++) memory.shown[3 * light + i] = before.shown[3 * other + i] as number;
  memory.heldAt[light] = before.heldAt[other] as number;
  memory.unknown[light] = before.unknown[other] as number;
}

/** Places of what is in both lists. */
function pairs(names: readonly string[], others: readonly string[]): (readonly [place: number, other: number])[] {
  const placeOf = new Map(others.map((name, place) => [name, place]));
  return names.flatMap((name, place) => {
    const other = placeOf.get(name);
    return other === undefined ? [] : [[place, other] as const];
  });
}

/** The first frame, or a clock that has been set back: then no time has passed. */
export function begin(memory: FlashMemory, now: Millis): void {
  const { luminances, reds, redLevels, rates, risesFrom, heldAt, askedSince } = memory;
  if (!Number.isNaN(memory.now)) {
    const instants = [
      luminances.changes.times,
      luminances.rowTimes,
      reds.changes.times,
      reds.leftAt,
      redLevels.changes.times,
      redLevels.rowTimes,
      rates.since,
      risesFrom,
      heldAt,
      askedSince,
    ];
    for (const times of instants) shift(times, now - memory.now);
  }
  memory.now = now;
}

/** Of a light of which nothing is known it is thought that it has used half of its limit just now. */
export function getToKnow({ unknown, luminances, reds, redLevels }: FlashMemory, now: Millis, limit: number): void {
  for (let light = 0; light < unknown.length; light++) {
    if (unknown[light] === 0) continue;
    unknown[light] = 0;
    for (let i = 0; i < Math.floor(limit); i++) {
      note(luminances.changes, light, now);
      note(reds.changes, light, now);
      note(redLevels.changes, light, now);
    }
  }
}

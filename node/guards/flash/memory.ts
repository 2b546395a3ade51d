import { MILLIS_PER_SECOND, type Millis } from '../../core/units.ts';
import type { LampLight } from '../../rig/light-of.ts';
import type { Rig, RigFixture } from '../../rig/rig.ts';
import { standsAt } from '../stands-at.ts';
import { note, shift } from './changes.ts';
import { darkSince, follow, type Luminances, newLuminances, takeLuminance } from './luminance.ts';
import { followRed, newReds, type Reds, takeRed } from './red.ts';
import { followRedLevel, newRedLevels, type RedLevels, takeRedLevel } from './red-level.ts';
import { followRate, newRates, type Rates, takeRate } from './strobes.ts';

/** What the flash guard remembers. Lights are all lamps, then the uses, then all lamps together. */
export interface FlashMemory {
  /** Of the last frame; not a number before the first. */
  now: Millis;
  /** Where each lamp stands (its start address, and its part), and the names of the uses: by them they are known again. */
  readonly lamps: readonly string[];
  readonly uses: readonly string[];
  readonly fixtures: readonly string[];
  /** What the cells of each lamp are. */
  readonly kinds: readonly string[];
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
  /** What was remembered of rigs of the last second that had lights which this one has not: what is put back is known again. The latest last. */
  readonly gone: readonly FlashMemory[];
}

/** What was longer ago is in no second any more, however late a frame leaves. */
const FORGOTTEN: Millis = 2 * MILLIS_PER_SECOND;

/** Of a lamp: whatever it is called in a show, what stands at an address is what the light comes from. */
const namedAt =
  (rig: Rig) =>
  ({ fixture, part }: LampLight): string =>
    `${standsAt(rig.fixtures[fixture] as RigFixture)} ${part}`;

export function memoryFor(rig: Rig, lamps: readonly LampLight[], uses: readonly string[], before?: FlashMemory): FlashMemory {
  const lights = lamps.length + uses.length + 1;
  const cells = lamps.map((lamp) => Uint32Array.of(...lamp.cells, ...lamp.gates));
  const memory: FlashMemory = {
    now: before?.now ?? Number.NaN,
    lamps: lamps.map(namedAt(rig)),
    uses,
    fixtures: rig.fixtures.map(standsAt),
    kinds: cells.map((own) => Array.from(own, (cell) => rig.attributeOf[cell]).join(' ')),
    cells,
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
    gone: before === undefined ? [] : goneFrom(lamps.map(namedAt(rig)), uses, before),
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
    takeLight(memory, lamp, before, other);
    // A lamp in another mode is another lamp: it is not known how it looks, but that it has changed.
    if (memory.kinds[lamp] !== before.kinds[other]) {
      goDark(memory, lamp, before, before.now);
      continue;
    }
    const [cells, otherCells] = [memory.cells[lamp], before.cells[other]];
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
  putBack(memory, before);
  for (const [fixture, other] of pairs(memory.fixtures, before.fixtures))
    memory.risesFrom[fixture] = before.risesFrom[other] as number;
}

/** Earlier memories that know of lights which this rig has not. */
const goneFrom = (lamps: readonly string[], uses: readonly string[], before: FlashMemory): FlashMemory[] => {
  const here = new Set([...lamps, ...uses]);
  return [...before.gone, { ...before, gone: [] }].filter(
    (one) => before.now - one.now <= FORGOTTEN && [...one.lamps, ...one.uses].some((name) => !here.has(name)),
  );
};

/** Lights that were taken out and are there again: they have been dark since. */
function putBack(memory: FlashMemory, before: FlashMemory): void {
  const known = new Set([...before.lamps, ...before.uses]);
  for (const one of [...before.gone].reverse()) {
    if (!(before.now - one.now <= FORGOTTEN)) continue;
    const lights = pairs([...memory.lamps, ...memory.uses], [...one.lamps, ...one.uses]);
    for (const [light, other] of lights) {
      const name = one.lamps[other] ?? one.uses[other - one.lamps.length] ?? '';
      if (known.has(name)) continue;
      known.add(name);
      takeLight(memory, light, one, other);
      goDark(memory, light, one, before.now);
    }
  }
}

/** A light that does not shine any more as it did in an earlier memory: at the latest since `now`. */
function goDark(memory: FlashMemory, light: number, { now: then }: FlashMemory, now: Millis): void {
  const { luminances, reds, redLevels, rates, shown, heldAt } = memory;
  const dark = new Float64Array(luminances.lights);
  for (const of of [luminances, redLevels]) darkSince(of, light, then);
  follow(luminances, light, dark, now, true);
  followRate(rates, luminances.changes, light, 0, now);
  followRed(reds, light, dark, 0, now);
  followRedLevel(redLevels, light, dark, 0, now);
  shown.fill(0, 3 * light, 3 * light + 3);
  heldAt[light] = now;
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
  for (const one of memory.gone) begin(one, now + one.now - memory.now);
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

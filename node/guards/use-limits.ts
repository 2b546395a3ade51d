import type { Frame } from '../core/frame.ts';
import { HALF, keptOf, usedAfter } from '../core/kept.ts';
import type { Level, Millis } from '../core/units.ts';
import type { Rig, RigFixture } from '../rig/rig.ts';
import { type Amount, amountsOf } from './amounts.ts';
import { type BuildGuard, force, type Guard } from './guard.ts';
import { keysWith } from './known-again.ts';
import { standsAt } from './stands-at.ts';

/** What may go on near people for so long, then goes down softly until it has been off for as long as it rests. */
interface Limit {
  readonly name: string;
  /** At more than `kept` it is counted, and to that it goes down. */
  readonly longest: Millis;
  readonly rest: Millis;
  readonly kept: Level;
  /** What of a fixture this speaks of. */
  readonly of: (fixture: RigFixture) => Limited[];
}

/** One thing that is counted. */
interface Limited {
  readonly key: string;
  /** What goes down. */
  readonly amounts: readonly Amount[];
  /** Cells that are above 0 while it goes on; none: nothing else is needed. */
  readonly needs: readonly number[];
  /** A rate that ends when it has gone down; absent: it has none. */
  readonly rate?: number;
}

const MINUTE: Millis = 60_000;

/**
 * Longest times near people. Common practice, no source, but for the half minute of a strobe, which guidance for theatres in the United Kingdom gives (read in a
 * page about it). All of them are careful, none is a measure of what a lamp does to an eye: the makers' manuals say more.
 */
const limits: readonly Limit[] = [
  // It gives eyes hardly any light by which they would shield themselves.
  { name: 'uv', longest: 15 * MINUTE, rest: 10 * MINUTE, kept: 0.5, of: uvOf },
  { name: 'blinders', longest: 8000, rest: 16_000, kept: 0.3, of: blinderOf },
  { name: 'strobes', longest: 30_000, rest: 30_000, kept: 0.3, of: strobesOf },
];

/** Each kind of light that people bear for so long has a guard of its own. */
export const useLimits: readonly BuildGuard<LimitMemory>[] = limits.map((limit) => (_show, rig) => limited(limit, rig));

/** Down softly, and up again faster. */
const DOWN: Millis = 3000;
const UP: Millis = 1000;

export interface LimitMemory {
  /** Of what is in the rig, then of what was in it and may come back. */
  readonly keys: readonly string[];
  /** Of the last frame; not a number before the first. */
  at: Millis;
  /** How much of its time each has used, whether it rests, and how far it is from resting. */
  readonly spent: Float64Array;
  readonly rests: Uint8Array;
  readonly share: Float64Array;
}

function limited({ name, longest, rest, kept, of }: Limit, { fixtures }: Rig): Guard<LimitMemory> {
  const all = fixtures.flatMap((fixture, place) => of(fixture).map((one) => ({ ...one, place })));

  /** Whether it is asked for more than it may go on with for long. */
  function goesOn({ amounts, needs }: Limited, frame: Frame): boolean {
    for (const cell of needs) if ((frame[cell] as number) <= 0) return false;
    for (const { cell, shades, isLevel } of amounts)
      if ((frame[cell] as number) > (shades ? asAmount(kept, isLevel) : 0)) return true;
    return false;
  }

  function lower({ amounts, needs, rate }: Limited, frame: Frame, share: number): boolean {
    for (const cell of needs) if ((frame[cell] as number) <= 0) return false;
    let acted = false;
    for (const { cell, shades, isLevel } of amounts) {
      const most = shades ? asAmount(kept + (1 - kept) * share, isLevel) : share > 0 ? 1 : 0;
      if ((frame[cell] as number) > most && force(frame, cell, most)) acted = true;
    }
    if (rate !== undefined && share <= 0 && force(frame, rate, 0)) acted = true;
    return acted;
  }

  return {
    name,
    memory(before) {
      const keys = keysWith(
        all.map(({ key }) => key),
        before,
        (i) => before !== undefined && (before.rests[i] === 1 || (before.spent[i] as number) > longest * HALF),
      );
      const at = keys.map((key) => before?.keys.indexOf(key) ?? -1);
      return {
        keys,
        at: before?.at ?? Number.NaN,
        // Of what nothing is known half of its time is thought to be used.
        spent: Float64Array.from(at, (i) => before?.spent[i] ?? longest * HALF),
        rests: Uint8Array.from(at, (i) => before?.rests[i] ?? 0),
        share: Float64Array.from(at, (i) => before?.share[i] ?? 1),
      };
    },
    step(frame, { now, blackout }, memory): boolean {
      const passed = Math.max(0, now - memory.at) || 0;
      memory.at = now;
      let acted = false;
      for (let i = 0; i < memory.keys.length; i++) {
        const one = all[i];
        const used = !blackout && one !== undefined && goesOn(one, frame) ? passed : -passed * (longest / rest);
        memory.spent[i] = Math.min(longest, Math.max(0, (memory.spent[i] as number) + used));
        if (memory.spent[i] === longest) memory.rests[i] = 1;
        else if (memory.spent[i] === 0) memory.rests[i] = 0;
        const share = memory.share[i] as number;
        memory.share[i] = memory.rests[i] === 1 ? Math.max(0, share - passed / DOWN) : Math.min(1, share + passed / UP);
        if (one !== undefined && (memory.share[i] as number) < 1 && lower(one, frame, memory.share[i] as number)) acted = true;
      }
      return acted;
    },
    kept: ({ keys, spent, rests }) => keptOf(keys, (i) => (rests[i] === 1 ? 1 : (spent[i] as number) / longest)),
    recall({ keys, spent, rests, share }, kept) {
      for (const [i, key] of keys.entries()) {
        spent[i] = longest * usedAfter(kept[key]);
        if (spent[i] !== longest) continue;
        // It was down, or nearly.
        rests[i] = 1;
        share[i] = 0;
      }
    },
    *held({ share }) {
      for (let i = 0; i < all.length; i++) if ((share[i] as number) < 1) yield (all[i] as (typeof all)[number]).place;
    },
  };
}

/** By which it goes down; of one that has nothing such, by which it is closed. */
function shadingIn(fixture: RigFixture): readonly Amount[] {
  const amounts = amountsOf(fixture);
  const shading = amounts.filter(({ shades }) => shades);
  return shading.length > 0 ? shading : amounts;
}

/** Light of an emitter goes with the cube of lightness, nearly. */
const asAmount = (level: Level, isLevel: boolean): number => (isLevel ? level : level ** 3);

/** A lamp of which UV is a part, behind its dimmer if it has one. */
function uvOf(fixture: RigFixture): Limited[] {
  return fixture.lamps.flatMap(({ part, cells }) => {
    const cell = cells.get('ColorAdd_UV');
    if (cell === undefined) return [];
    const dimmers = [fixture.lamps[0].cells.get('Dimmer'), cells.get('Dimmer')].filter((one) => one !== undefined);
    return [{ key: `${standsAt(fixture)}.${part}`, amounts: [{ cell, shades: true, isLevel: true }], needs: dimmers }];
  });
}

function blinderOf(fixture: RigFixture): Limited[] {
  return fixture.use === 'blinder' ? [{ key: standsAt(fixture), amounts: shadingIn(fixture), needs: [] }] : [];
}

/** A lamp that strobes by a channel of its own; what chases and hits do is the flash guard's business. */
function strobesOf(fixture: RigFixture): Limited[] {
  return fixture.lamps.flatMap(({ part, cells }) => {
    const rate = cells.get('Shutter1Strobe');
    if (rate === undefined) return [];
    return [{ key: `${standsAt(fixture)}.${part}`, amounts: shadingIn(fixture), needs: [rate], rate }];
  });
}

import { HALF, keptOf, usedAfter } from '../core/kept.ts';
import { MILLIS_PER_SECOND, type Millis } from '../core/units.ts';
import type { Rig } from '../rig/rig.ts';
import { force, type Grouped, type Guard } from './guard.ts';
import { type Airing, airingsOf } from './haze.ts';
import { keysWith } from './known-again.ts';

/*
 * How much a machine puts out. Common practice, no source: enough for beams to be seen, and short of a room that nobody can look through. The maker's
 * manual and the venue know better, and may ask for less.
 */
/** Over so long it is counted, in slices. */
const SLICE: Millis = 10_000;
/** One more than ten minutes have: the oldest counts until all of it has gone. */
const SLICES = 61;
/** Seconds at full in ten minutes. */
const MOST = { haze: 300, fog: 60 } as const;
/** The longest burst of fog, and how long a machine pauses after it. */
const BURST: Millis = 10_000;
const PAUSE: Millis = 20_000;
/** Fog goes out whole or not at all: for less than so many seconds no burst begins. */
const LEAST = 1;

export interface AirMemory {
  /** Of the machines of the rig, then of those that were in it and may come back. */
  readonly keys: readonly string[];
  /** Seconds at full that each may give in ten minutes. */
  readonly most: Float64Array;
  /** Of the last frame, and when its slice began; not a number before the first. */
  at: number;
  sliceAt: number;
  slice: number;
  /** Seconds at full of every slice, one row for each airing; what is let through now; how much of a burst is used, and whether it pauses. */
  readonly spent: Float64Array;
  readonly given: Float64Array;
  readonly burst: Float64Array;
  readonly pauses: Uint8Array;
}

/**
 * How much goes into the air: haze by its mean over ten minutes, to which it sinks softly; fog in bursts, with pauses between, and by its share of ten
 * minutes. Of what it knows nothing it thinks that half has been used just now.
 */
export function duty(_show: Grouped, rig: Rig): Guard<AirMemory> {
  const airings = airingsOf(rig);
  const held = new Set<number>();

  function allowed(airing: Airing, i: number, asked: number, memory: AirMemory): number {
    const left = (memory.most[i] as number) - sumOf(memory.spent, i);
    if (!airing.fogs) return Math.max(0, Math.min(asked, (left * MILLIS_PER_SECOND) / SLICE));
    const goesOn = (memory.given[i] as number) > 0;
    return memory.pauses[i] === 1 || left < (goesOn ? 0 : LEAST) * asked || left <= 0 ? 0 : asked;
  }

  return {
    name: 'duty',
    memory(before) {
      const own = airings.map(({ key }) => key);
      const keys = keysWith(own, before, (i) => before !== undefined && countsOn(before, i));
      const memory: AirMemory = {
        keys,
        most: Float64Array.from(keys, (_, i) => (airings[i]?.fogs === true ? MOST.fog : MOST.haze)),
        at: before?.at ?? Number.NaN,
        sliceAt: before?.sliceAt ?? Number.NaN,
        slice: before?.slice ?? 0,
        spent: new Float64Array(SLICES * keys.length),
        given: new Float64Array(keys.length),
        burst: new Float64Array(keys.length).fill(BURST * HALF),
        pauses: new Uint8Array(keys.length),
      };
      for (const [i, key] of keys.entries()) {
        memory.spent[SLICES * i + memory.slice] = (memory.most[i] as number) * HALF;
        if (before !== undefined) carry(before, before.keys.indexOf(key), memory, i);
      }
      return memory;
    },
    step(frame, { now, blackout }, memory): boolean {
      held.clear();
      const passed = count(memory, now);
      let acted = false;
      for (let i = 0; i < memory.keys.length; i++) countOne(memory, i, passed);
      for (const [i, airing] of airings.entries()) {
        const { cell, place } = airing;
        const asked = frame[cell] as number;
        const value = asked > 0 ? allowed(airing, i, asked, memory) : asked;
        // The guard at the end stops it in a blackout.
        memory.given[i] = blackout ? 0 : Math.max(0, value);
        if (!force(frame, cell, value)) continue;
        acted = true;
        held.add(place);
      }
      return acted;
    },
    kept(memory) {
      return {
        ...keptOf(memory.keys, (i) => sumOf(memory.spent, i) / (memory.most[i] as number)),
        ...keptOf(memory.keys.map(burstOf), (i) => (memory.pauses[i] === 1 ? 1 : (memory.burst[i] as number) / BURST)),
      };
    },
    recall(memory, kept) {
      for (const [i, airing] of airings.entries()) {
        memory.spent[SLICES * i + memory.slice] = (memory.most[i] as number) * usedAfter(kept[airing.key]);
        memory.burst[i] = BURST * usedAfter(kept[burstOf(airing.key)]);
        if (memory.burst[i] === BURST) memory.pauses[i] = 1;
      }
    },
    held: () => held,
  };
}

const burstOf = (key: string): string => `${key} burst`;

/** Moves on to the slice of this instant. @returns how long the last frame has stood */
function count(memory: AirMemory, now: Millis): Millis {
  const passed = Math.max(0, now - memory.at) || 0;
  if (!(now >= memory.sliceAt)) memory.sliceAt = now;
  memory.at = now;
  for (let turned = 0; now - memory.sliceAt >= SLICE; turned++) {
    memory.sliceAt = turned < SLICES ? memory.sliceAt + SLICE : now;
    memory.slice = (memory.slice + 1) % SLICES;
    for (let i = memory.slice; i < memory.spent.length; i += SLICES) memory.spent[i] = 0;
  }
  return passed;
}

/** What one has given since the last frame; of what is in the rig no more that was the last. */
function countOne(memory: AirMemory, i: number, passed: Millis): void {
  const { spent, given, most, slice } = memory;
  const gave = given[i] as number;
  spent[SLICES * i + slice] = (spent[SLICES * i + slice] as number) + gave * (passed / MILLIS_PER_SECOND);
  if (most[i] === MOST.fog) countBurst(memory, i, gave > 0, passed);
  given[i] = 0;
}

function countBurst({ burst, pauses }: AirMemory, i: number, on: boolean, passed: Millis): void {
  burst[i] = Math.max(0, (burst[i] as number) + (on ? passed : -passed * (BURST / PAUSE)));
  if ((burst[i] as number) >= BURST) pauses[i] = 1;
  else if (burst[i] === 0) pauses[i] = 0;
}

function sumOf(spent: Float64Array, i: number): number {
  let sum = 0;
  for (let k = SLICES * i; k < SLICES * (i + 1); k++) sum += spent[k] as number;
  return sum;
}

/** Whether more than half is used, of its time or of a burst: that is what is thought of everything of which nothing is known. */
const countsOn = ({ spent, most, burst, pauses }: AirMemory, i: number): boolean =>
  sumOf(spent, i) > (most[i] as number) * HALF || pauses[i] === 1 || (burst[i] as number) > BURST * HALF;

function carry(from: AirMemory, at: number, to: AirMemory, i: number): void {
  if (at < 0) return;
  to.most[i] = from.most[at] as number;
  to.spent.set(from.spent.subarray(SLICES * at, SLICES * (at + 1)), SLICES * i);
  to.given[i] = from.given[at] as number;
  to.burst[i] = from.burst[at] as number;
  to.pauses[i] = from.pauses[at] as number;
}

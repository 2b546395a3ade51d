import type { Universe } from '../../core/units.ts';
import type { Place } from './addresses.ts';

/** Unit loads that one line carries behind a transmitter (EIA-485, to which ANSI E1.11 refers). */
export const UNIT_LOADS = 32;

/** One cable run from a gateway or splitter, lamp to lamp. */
export interface Line<Lamp> {
  readonly universe: Universe;
  /** From 1 within its universe. */
  readonly number: number;
  readonly lamps: readonly Lamp[];
}

/**
 * The fewest lines that carry these lamps, by address: each lamp counts as one unit load, which is the most that E1.11 lets a receiver be.
 * In a real room they follow the cable; what counts is that no line has more.
 */
export function linesOf<Lamp extends Place>(lamps: readonly Lamp[]): Line<Lamp>[] {
  const sorted = [...lamps].sort((a, b) => a.universe - b.universe || a.address - b.address);
  const lines: { universe: Universe; number: number; lamps: Lamp[] }[] = [];
  for (const lamp of sorted) {
    const last = lines.at(-1);
    if (last !== undefined && last.universe === lamp.universe && last.lamps.length < UNIT_LOADS) last.lamps.push(lamp);
    else lines.push({ universe: lamp.universe, number: last?.universe === lamp.universe ? last.number + 1 : 1, lamps: [lamp] });
  }
  return lines;
}

/** Said wherever lines are shown (EIA-485: 120 ohms at the far end). */
export const TERMINATOR = 'A 120 Ω terminator goes into the last lamp of every line.';

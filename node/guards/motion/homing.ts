import type { Millis } from '../../core/units.ts';
import type { Rig } from '../../rig/rig.ts';
import { amountsOf, dim } from '../amounts.ts';
import type { Grouped, Guard } from '../guard.ts';
import { standsAt } from '../stands-at.ts';

/** In how much time its light comes when a head is where it belongs. */
const RISE: Millis = 1000;

export interface HomingMemory {
  readonly keys: readonly string[];
  /** Of the last frame; not a number before the first. */
  at: Millis;
  /** How much of its light each head has; not a number: nothing is known of it. */
  readonly share: Float64Array;
}

/**
 * At a fresh start nobody knows where a head stands, so it cannot be led slowly: it is sent where it belongs before any light shows it on its way, and
 * stays dark until the farthest of them has got there.
 */
export function homing(_show: Grouped, { fixtures }: Rig): Guard<HomingMemory> {
  const heads = fixtures.flatMap((fixture, place) =>
    fixture.lamps.some(({ cells }) => cells.has('Pan') || cells.has('Tilt'))
      ? [{ key: standsAt(fixture), place, amounts: amountsOf(fixture) }]
      : [],
  );
  return {
    name: 'homing',
    memory: (before) => ({
      keys: heads.map(({ key }) => key),
      at: before?.at ?? Number.NaN,
      share: Float64Array.from(heads, ({ key }) => before?.share[before.keys.indexOf(key)] ?? Number.NaN),
    }),
    step(frame, instant, memory): boolean {
      const passed = Math.max(0, instant.now - memory.at) || 0;
      memory.at = instant.now;
      let acted = false;
      for (let i = 0; i < heads.length; i++) {
        const share = memory.share[i] as number;
        const isDark = instant.homing && !(share > 0);
        const next = isDark ? 0 : Number.isNaN(share) ? 1 : Math.min(1, share + passed / RISE);
        memory.share[i] = next;
        if (next < 1 && dim(frame, heads[i]?.amounts ?? [], next)) acted = true;
      }
      return acted;
    },
    *held({ share }) {
      for (let i = 0; i < heads.length; i++) if ((share[i] as number) < 1) yield (heads[i] as (typeof heads)[number]).place;
    },
  };
}

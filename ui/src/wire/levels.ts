import type { FixtureSummary } from '../../../node/api/contract.ts';
import { SLOTS } from '../../../node/core/levels.ts';
import { lastSlot, standings } from '../parts/address.ts';

interface Seen {
  readonly slots: Uint8Array;
  /** When each slot last changed; `-Infinity` where it never has since the page opened. */
  readonly changedAt: Float64Array;
  changes: number;
}

/** What the wire carries, and when each slot of it last changed. */
export class WireLevels {
  /** Goes up with every change of any universe. */
  total = 0;
  readonly #seen = new Map<number, Seen>();

  /** Takes in the 512 slots of a universe. The first of each only show what there is; they are no change. */
  take(universe: number, slots: Uint8Array, now: number): void {
    if (slots.length !== SLOTS) return;
    const known = this.#seen.get(universe);
    if (known === undefined) {
      const never = new Float64Array(SLOTS).fill(Number.NEGATIVE_INFINITY);
      this.#seen.set(universe, { slots: slots.slice(), changedAt: never, changes: 1 });
      this.total++;
      return;
    }
    let changed = false;
    for (let i = 0; i < SLOTS; i++) {
      const value = slots[i] as number;
      if (known.slots[i] === value) continue;
      known.slots[i] = value;
      known.changedAt[i] = now;
      changed = true;
    }
    if (!changed) return;
    known.changes++;
    this.total++;
  }

  /** The 512 slots, or undefined as long as the node has sent none. Not to be written to. */
  slots(universe: number): Uint8Array | undefined {
    return this.#seen.get(universe)?.slots;
  }

  /** `slot` counts from 1. */
  at(universe: number, slot: number): number | undefined {
    return this.#seen.get(universe)?.slots[slot - 1];
  }

  /** Goes up whenever a slot of the universe changes: what was drawn at the same count need not be drawn again. */
  changes(universe: number): number {
    return this.#seen.get(universe)?.changes ?? 0;
  }

  /** Whether any slot from `first` to `last` has changed at `since` or later. */
  changedSince(universe: number, first: number, last: number, since: number): boolean {
    const times = this.#seen.get(universe)?.changedAt;
    if (times === undefined) return false;
    for (let slot = first; slot <= last; slot++) if ((times[slot - 1] ?? Number.NEGATIVE_INFINITY) >= since) return true;
    return false;
  }

  /** The node begins anew: what comes next is no change. */
  clear(): void {
    this.#seen.clear();
  }
}

/** How long a change counts as one of now, in milliseconds. */
export const LATELY = 3000;

/** Ids of the fixtures of which any slot has changed lately. */
export function changedLately(fixtures: readonly FixtureSummary[], levels: WireLevels, now: number): ReadonlySet<string> {
  const changed = fixtures.filter((fixture) =>
    standings(fixture).some((one) => levels.changedSince(one.universe, one.address, lastSlot(one), now - LATELY)),
  );
  return new Set(changed.map(({ id }) => id));
}

export const sameSet = (a: ReadonlySet<string>, b: ReadonlySet<string>): boolean =>
  a.size === b.size && [...a].every((one) => b.has(one));

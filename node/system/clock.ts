import type { Clock } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';

/** A step of the machine's clock up to this is made up for little by little; a larger one at once. */
const SLEWED: Millis = 500;
/** How fast it is made up for: a twentieth of the time that passes. */
const SLEW = 0.05;
const NANOS_PER_MILLI = 1e6;

/** CLOCK_MONOTONIC has one origin for all threads of a machine, unlike `performance.now()`, which is cheaper to ask. */
const origin: Millis = ((): Millis => {
  let [origin, closest] = [0, Number.POSITIVE_INFINITY];
  // Of a few looks at both the one with the least time between them.
  for (let i = 0; i < 8; i++) {
    const before = performance.now();
    const monotonic = Number(process.hrtime.bigint()) / NANOS_PER_MILLI;
    const after = performance.now();
    if (after - before < closest) [origin, closest] = [monotonic - (before + after) / 2, after - before];
  }
  return origin;
})();

/**
 * A wall clock over a monotonic one. The machine's own clock may jump: a board without a battery for it starts in the past and learns the
 * time from the network while the node runs.
 * @param now monotonic milliseconds
 * @param machine milliseconds since the epoch, as the machine has it now
 */
export function wallOver(now: () => Millis, machine: () => Millis): () => Millis {
  let seenAt = now();
  let ahead = machine() - seenAt;
  return () => {
    const at = now();
    const off = machine() - (at + ahead);
    const most = (at - seenAt) * SLEW;
    ahead += Math.abs(off) > SLEWED ? off : Math.min(most, Math.max(-most, off));
    seenAt = at;
    return at + ahead;
  };
}

const now = (): Millis => origin + performance.now();

/** The time zone that this machine is set to, by the IANA database. */
export const machineZone = (): string => Intl.DateTimeFormat().resolvedOptions().timeZone;

/** The clocks of this machine. */
export const systemClock: Clock = { now, wall: wallOver(now, Date.now) };

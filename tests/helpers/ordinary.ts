import { MOST_FLASHES } from '../../node/core/limits.ts';
import type { Instant } from '../../node/guards/guard.ts';

/** An instant of an ordinary evening: masters full, no blackout, somebody there, haze permitted, lasers armed. */
export const ordinary: Instant = {
  now: 0,
  blackout: false,
  fallen: false,
  left: false,
  haze: true,
  lasers: true,
  crew: false,
  homing: false,
  all: 1,
  flashes: MOST_FLASHES,
  group: () => 1,
};

import { blackout } from './blackout.ts';
import { duty } from './duty.ts';
import { dwell } from './dwell/dwell.ts';
import { fallen } from './fallen.ts';
import { flash } from './flash/flash.ts';
import type { BuildGuard } from './guard.ts';
import { haze } from './haze.ts';
import { laser } from './laser.ts';
import { masters } from './masters.ts';
import { homing } from './motion/homing.ts';
import { motion } from './motion/motion.ts';
import { useLimits } from './use-limits.ts';

/** Every frame passes these, in this order. Masters, flash, then blackout stay last: nothing behind them may add light, nor make it flash. */
export const guards: readonly BuildGuard[] = [
  fallen,
  haze,
  duty,
  laser,
  motion,
  homing,
  dwell,
  ...useLimits,
  masters,
  flash,
  blackout,
];

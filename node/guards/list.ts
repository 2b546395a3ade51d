import { blackout } from './blackout.ts';
import { fallen } from './fallen.ts';
import type { BuildGuard } from './guard.ts';
import { masters } from './masters.ts';

/** Every frame passes these, in this order. Masters, then blackout, stay last: nothing behind them may add light. */
export const guards: readonly BuildGuard[] = [fallen, masters, blackout];

import type { Levels } from '../../node/core/levels.ts';
import type { Output } from '../../node/core/ports.ts';
import type { Millis, Universe } from '../../node/core/units.ts';

/** An output that says it sends every frame and sends nothing. */
export const silentOutput = (flush: (levels: Levels, now: Millis) => void = () => undefined): Output => {
  let carried: readonly Universe[] = [];
  return {
    id: 'none',
    settle: () => undefined,
    carry: (universes) => {
      carried = universes;
    },
    repeat: () => undefined,
    relink: () => undefined,
    flush(levels, now) {
      flush(levels, now);
      return 1;
    },
    tend: () => 0,
    dueAt: Number.POSITIVE_INFINITY,
    stop: () => undefined,
    report: () => ({
      id: 'none',
      protocol: 'sacn',
      state: 'sending',
      towards: '',
      packets: 0,
      dropped: 0,
      errors: [],
      universes: carried.map((universe) => ({ universe, packets: 0, lastSentAt: null })),
    }),
  };
};

import { signal } from '@preact/signals';
import { tell } from './presses.ts';
import { nodeNow } from './state.ts';

/** A level as it stood before a hand moved it: taken back like a press. */
export interface LevelBefore {
  /** Absent: the master of all. */
  readonly group?: string;
  readonly name: string;
  readonly level: number;
  /** On the node's clock. */
  readonly at: number;
}

export const levelBefore = signal<LevelBefore | undefined>(undefined);

/** A hand begins to move a level. */
export function noteLevel(before: Omit<LevelBefore, 'at'>): void {
  levelBefore.value = { ...before, at: nodeNow() };
}

export function takeLevelBack({ group, level }: LevelBefore): void {
  levelBefore.value = undefined;
  tell({ do: 'master', level, fade: 0.5, ...(group === undefined ? {} : { group }) });
}

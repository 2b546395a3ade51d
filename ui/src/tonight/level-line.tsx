import { useEffect, useState } from 'preact/hooks';
import { own } from '../../../node/core/own.ts';
import { noteLevel } from '../levels.ts';
import { tell } from '../presses.ts';
import { isOpen, state } from '../state.ts';

const STEP = 0.1;
/** After the last press the line's own level stands until the node's comes. Milliseconds. */
const SETTLES = 700;

interface LevelLineProps {
  readonly name: string;
  /** Absent: the master of all. */
  readonly group?: string;
}

/** A level in words, with less and more beside it: what the room's picture has no surface for, and for those who use no pointer. */
export function LevelLine({ name, group }: LevelLineProps) {
  const masters = state.value?.masters;
  const real = (group === undefined ? masters?.all : own(masters?.groups ?? {}, group)) ?? 1;
  const [pulled, setPulled] = useState<number | undefined>(undefined);
  useEffect(() => {
    if (pulled === undefined) return;
    const timer = setTimeout(() => setPulled(undefined), SETTLES);
    return () => clearTimeout(timer);
  }, [pulled]);
  const shown = pulled ?? real;
  const closed = !isOpen.value;
  const move = (by: number) => {
    const level = Math.round(Math.min(1, Math.max(0, shown + by)) * 100) / 100;
    if (level === shown) return;
    noteLevel({ name, level: shown, ...(group === undefined ? {} : { group }) });
    setPulled(level);
    tell({ do: 'master', level, fade: 0.3, ...(group === undefined ? {} : { group }) });
  };
  return (
    <li>
      <span class="name">{name}</span>
      <button type="button" aria-label={`${name}: less`} disabled={closed || shown <= 0} onClick={() => move(-STEP)}>
        −
      </button>
      <output aria-live="polite">{Math.round(shown * 100)} %</output>
      <button type="button" aria-label={`${name}: more`} disabled={closed || shown >= 1} onClick={() => move(STEP)}>
        +
      </button>
    </li>
  );
}

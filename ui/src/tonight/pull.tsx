import { useMemo, useRef, useState } from 'preact/hooks';
import { Throttle } from '../parts/throttle.ts';
import { tell } from '../presses.ts';
import { isOpen, state } from '../state.ts';

/** Fifteen a second: as fast as a thumb's movement is still seen. */
const EVERY = 66;
/** After the thumb has left, its own level stands until the node's comes; then the node's counts. */
const SETTLES = 700;
const STEP = 0.05;
/** Share of the pull's width that must be moved before it counts: a touch alone changes no light. */
const SLACK = 6;

interface PullProps {
  readonly name: string;
  /** Absent: the master of all. */
  readonly group?: string;
}

const percent = (level: number): number => Math.round(level * 100);
const clamp = (level: number): number => Math.min(1, Math.max(0, level));

/**
 * A master: pulled sideways from wherever the thumb lies, so that a touch never makes the level jump. The filled part is the thumb's, the
 * mark is where the node is.
 */
export function Pull({ name, group }: PullProps) {
  const masters = state.value?.masters;
  const real = (group === undefined ? masters?.all : masters?.groups[group]) ?? 1;
  const [own, setOwn] = useState<number | undefined>(undefined);
  const from = useRef<{ pointer: number; x: number; level: number; moving: boolean } | undefined>(undefined);
  const leaves = useRef<number | undefined>(undefined);
  const send = useMemo(
    () => new Throttle<number>(EVERY, (level) => tell({ do: 'master', level, ...(group === undefined ? {} : { group }) })),
    [group],
  );
  const shown = own ?? real;
  const disabled = !isOpen.value;

  const move = (level: number) => {
    const next = percent(clamp(level)) / 100;
    clearTimeout(leaves.current);
    setOwn(next);
    send.push(next);
  };
  const settle = () => {
    clearTimeout(leaves.current);
    leaves.current = setTimeout(() => setOwn(undefined), SETTLES);
  };
  const end = (event: PointerEvent) => {
    if (from.current?.pointer !== event.pointerId) return;
    from.current = undefined;
    settle();
  };

  return (
    <div
      class="pull"
      role="slider"
      tabIndex={disabled ? -1 : 0}
      aria-label={name}
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={percent(shown)}
      aria-valuetext={`${percent(shown)} %`}
      aria-disabled={disabled}
      onPointerDown={(event) => {
        if (disabled || event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        from.current = { pointer: event.pointerId, x: event.clientX, level: shown, moving: false };
      }}
      onPointerMove={(event) => {
        const start = from.current;
        if (start?.pointer !== event.pointerId) return;
        const moved = event.clientX - start.x;
        if (!start.moving && Math.abs(moved) < SLACK) return;
        start.moving = true;
        move(start.level + moved / event.currentTarget.clientWidth);
      }}
      onPointerUp={end}
      onPointerCancel={end}
      onKeyDown={(event) => {
        const to = keyed(event.key, shown);
        if (disabled || to === undefined) return;
        event.preventDefault();
        move(to);
        settle();
      }}
    >
      <Share level={shown} kind="thumb" />
      <Share level={real} kind="mark" />
      <span class="name">{name}</span>
      <span class="value">{percent(shown)} %</span>
    </div>
  );
}

function keyed(key: string, level: number): number | undefined {
  if (key === 'ArrowRight' || key === 'ArrowUp') return level + STEP;
  if (key === 'ArrowLeft' || key === 'ArrowDown') return level - STEP;
  if (key === 'PageUp') return level + 4 * STEP;
  if (key === 'PageDown') return level - 4 * STEP;
  if (key === 'Home') return 0;
  if (key === 'End') return 1;
  return undefined;
}

function Share({ level, kind }: { readonly level: number; readonly kind: 'thumb' | 'mark' }) {
  return <span class={`pull-${kind}`} aria-hidden="true" style={{ transform: `translateX(${(level - 1) * 100}%)` }} />;
}

import { useEffect, useRef, useState } from 'preact/hooks';
import { buzz, isPressKey, tell } from '../presses.ts';
import { isBlackout, isOpen, state } from '../state.ts';

/** Long enough that a sleeve does not do it, short enough for a fright. Milliseconds. */
const HOLD = 350;
const HINT_STAYS = 1800;

/** In the same corner of every screen: held a third of a second it puts every light out, and held again it brings them back. */
export function Blackout() {
  const dark = isBlackout.value;
  const [phase, setPhase] = useState<'idle' | 'pressing' | 'short'>('idle');
  const timer = useRef<number | undefined>(undefined);
  /** A key or finger was down lately: the click that follows is its echo, and no screen reader's. */
  const touchedAt = useRef(-Infinity);
  const closed = !isOpen.value;

  const act = () => {
    timer.current = undefined;
    setPhase('idle');
    buzz(60);
    tell({ do: 'blackout', on: !(state.peek()?.blackout ?? false) });
  };
  const down = () => {
    touchedAt.current = performance.now();
    if (closed || timer.current !== undefined) return;
    clearTimeout(hint.current);
    setPhase('pressing');
    timer.current = setTimeout(act, HOLD);
  };
  const hint = useRef<number | undefined>(undefined);
  const up = () => {
    touchedAt.current = performance.now();
    if (timer.current === undefined) return;
    clearTimeout(timer.current);
    timer.current = undefined;
    setPhase('short');
    hint.current = setTimeout(() => setPhase('idle'), HINT_STAYS);
  };
  useEffect(
    () => () => {
      clearTimeout(timer.current);
      clearTimeout(hint.current);
    },
    [],
  );

  return (
    <button
      type="button"
      class="blackout"
      data-phase={phase}
      style={{ '--hold': `${HOLD}ms` }}
      aria-pressed={dark}
      disabled={closed}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        down();
      }}
      onPointerUp={up}
      onPointerCancel={up}
      onLostPointerCapture={up}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={(event) => {
        if (!isPressKey(event)) return;
        event.preventDefault();
        if (!event.repeat) down();
      }}
      onKeyUp={(event) => isPressKey(event) && up()}
      onBlur={up}
      onClick={(event) => {
        if (event.detail === 0 && performance.now() - touchedAt.current > 1000) act();
      }}
    >
      <span class="hold-fill" aria-hidden="true" />
      <span class="name">{dark ? 'All dark' : 'Blackout'}</span>
      <span class="how">
        {phase === 'short' ? (
          <>
            <span class="wider">hold </span>longer
          </>
        ) : (
          <>hold{dark && <span class="wider"> for light</span>}</>
        )}
      </span>
    </button>
  );
}

import { useRef, useState } from 'preact/hooks';
import { FASTEST_TEMPO, SLOWEST_TEMPO } from '../../../node/core/limits.ts';
import { countedTaps, LEAST_TAPS, tappedTempo } from '../../../node/plan/tempo.ts';
import { Push } from '../parts/push.tsx';
import { buzz, isPressKey, tell } from '../presses.ts';
import { isOpen, state } from '../state.ts';

/** Tap on the beat: acts on the finger's way down, since that is where the beat is. */
export function TapTempo() {
  const taps = useRef<readonly number[]>([]);
  const [count, setCount] = useState(0);
  const tap = () => {
    taps.current = countedTaps([...taps.current, performance.now()]);
    setCount(taps.current.length);
    buzz(8);
    const bpm = tappedTempo(taps.current);
    if (bpm !== undefined) tell({ do: 'tempo', bpm: Math.round(bpm * 10) / 10 });
  };
  const bpm = state.value?.bpm;
  const more = count > 0 && count < LEAST_TAPS ? `${LEAST_TAPS - count} more` : 'bpm';
  return (
    <button
      type="button"
      class="tap"
      disabled={!isOpen.value}
      onPointerDown={tap}
      onKeyDown={(event) => {
        if (!isPressKey(event) || event.repeat) return;
        event.preventDefault();
        tap();
      }}
    >
      <span class="name">Tap</span>
      <span class="value">{bpm === undefined ? '' : Math.round(bpm)}</span>
      <span class="unit">{more}</span>
    </button>
  );
}

/** A hand taps half or twice the tempo as often as not. */
export function HalveAndDouble() {
  const bpm = state.value?.bpm ?? 0;
  const set = (next: number) => tell({ do: 'tempo', bpm: next });
  const closed = !isOpen.value;
  return (
    <>
      <Push onClick={() => set(bpm / 2)} disabled={closed || bpm / 2 < SLOWEST_TEMPO}>
        Half tempo
      </Push>
      <Push onClick={() => set(bpm * 2)} disabled={closed || bpm * 2 > FASTEST_TEMPO}>
        Double tempo
      </Push>
    </>
  );
}

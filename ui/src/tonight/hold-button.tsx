import { useComputed } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { ButtonState, ButtonSummary } from '../../../node/api/contract.ts';
import { connection } from '../connection.ts';
import { ask, buzz, isPressKey, say, tell, waiting } from '../presses.ts';
import { isOpen, state } from '../state.ts';
import { buttonState } from './button-state.ts';
import { Holds } from './holds.ts';
import { MovingEdge } from './moving-edge.tsx';

const holds = new Holds(
  (button) => {
    buzz(20);
    ask(button, { do: 'press', button });
  },
  (button) => {
    // With the line gone the node has let go by itself.
    if (isOpen.peek()) tell({ do: 'release', button });
  },
);

const letAllGo = () => holds.allUp();
connection.onLost(letAllGo);
addEventListener('blur', letAllGo);
addEventListener('pagehide', letAllGo);
document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'hidden') letAllGo();
});

/** A button that acts for as long as it is held: another shape, for another way of touching. */
export function HoldButton({ button }: { readonly button: ButtonSummary }) {
  const { id, name, notes } = button;
  const line = [button.line, ...notes].filter((one) => one !== '').join(' · ');
  const held = useComputed(() => holds.held.value.has(id)).value;
  const real = useComputed(() => buttonState(state.value, id).state).value;
  const pending = useComputed(() => holds.held.value.has(id) && waiting.value.has(id)).value;
  const shown = pending ? 'waiting' : real === 'coming' ? 'on' : real;
  useEndsByItself(button, held, real);
  const open = isOpen.value;
  const key = `key ${id}`;
  return (
    <button
      type="button"
      class="hold-button"
      data-button={id}
      data-state={shown}
      data-held={held}
      aria-pressed={held}
      title={line}
      aria-disabled={!open}
      onPointerDown={(event) => {
        if (event.button !== 0 || !open) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        event.currentTarget.setAttribute('data-pressed', '');
        holds.down(id, `pointer ${event.pointerId}`);
      }}
      onPointerUp={(event) => holds.up(`pointer ${event.pointerId}`)}
      onPointerCancel={(event) => holds.up(`pointer ${event.pointerId}`)}
      onLostPointerCapture={(event) => {
        event.currentTarget.removeAttribute('data-pressed');
        holds.up(`pointer ${event.pointerId}`);
      }}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={(event) => {
        if (!isPressKey(event)) return;
        event.preventDefault();
        if (!event.repeat && open) holds.down(id, key);
      }}
      onKeyUp={(event) => isPressKey(event) && holds.up(key)}
      onBlur={() => holds.up(key)}
    >
      {pending && <MovingEdge />}
      <span class="name">{name}</span>
      <span class="state-word">{shown === 'on' ? 'on' : shown === 'going' ? 'going' : 'hold'}</span>
      <span class="spoken">{line}. Acts for as long as it is held.</span>
    </button>
  );
}

/** Says so when a hit ends under a finger that still holds it. */
function useEndsByItself({ name, longest }: ButtonSummary, held: boolean, real: ButtonState['state']): void {
  const wasOn = useRef(false);
  useEffect(() => {
    if (!held) wasOn.current = false;
    else if (real === 'on' || real === 'coming') wasOn.current = true;
    else if (wasOn.current) {
      wasOn.current = false;
      say(`“${name}” has ended by itself${longest === undefined ? '' : `: it lasts ${longest} s at most`}.`);
    }
  }, [held, real]);
}

import { useLayoutEffect, useRef } from 'preact/hooks';
import type { ButtonState, ButtonSummary } from '../../../node/api/contract.ts';
import { toggle, waiting } from '../presses.ts';
import { isOpen, nodeNow, state } from '../state.ts';
import { buttonState, type Fill, fillOf, shareAt } from './button-state.ts';
import { HoldButton } from './hold-button.tsx';
import { MovingEdge } from './moving-edge.tsx';
import { Swatch } from './swatch.tsx';

type Shown = ButtonState['state'] | 'waiting';

const words: Readonly<Record<Shown, string>> = { off: '', waiting: 'asked', coming: 'coming', on: 'on', going: 'going' };

/** A button of the show: what guests will see, and how far that has come. */
export function ShowButton({ button }: { readonly button: ButtonSummary }) {
  if (button.kind === 'hold') return <HoldButton button={button} />;
  const now = state.value;
  // Not `disabled`: who works by keyboard must not lose the place with the network.
  const open = isOpen.value;
  const { state: real, fade } = buttonState(now, button.id);
  const shown: Shown = waiting.value.has(button.id) ? 'waiting' : real;
  const fill = now === undefined || fade === undefined ? undefined : fillOf({ id: button.id, state: real, fade }, now);
  const dark = now?.blackout === true;
  return (
    <button
      type="button"
      class="show-button"
      data-button={button.id}
      data-state={shown}
      aria-pressed={real === 'on' || real === 'coming'}
      aria-disabled={!open}
      onClick={() => open && toggle(button.id, real)}
    >
      <FillLayer fill={fill} />
      {shown === 'waiting' && <MovingEdge />}
      <Swatch button={button} />
      <span class="name">{button.name}</span>
      <span class="line">
        {words[shown] !== '' && <strong class="state-word">{dark && shown === 'on' ? 'on, dark' : words[shown]}</strong>}{' '}
        {[button.line, ...button.notes].filter((one) => one !== '').join(' · ')}
      </span>
    </button>
  );
}

/** Fills and empties with the fade, by the node's clock; the browser moves it without asking the page again. */
function FillLayer({ fill }: { readonly fill: Fill | undefined }) {
  const layer = useRef<HTMLSpanElement>(null);
  useLayoutEffect(() => {
    const element = layer.current;
    if (element === null || fill === undefined) return;
    const now = nodeNow();
    const steady = matchMedia('(prefers-reduced-motion: reduce)').matches;
    const remaining = Math.max(1, fill.until - now);
    const scale = (share: number) => ({ transform: `scaleX(${share})` });
    const animation = element.animate([scale(shareAt(fill, now)), scale(fill.to)], {
      duration: remaining,
      fill: 'both',
      // Without movement: a step a second at most.
      easing: steady ? `steps(${Math.max(1, Math.floor(remaining / 1000))})` : 'linear',
    });
    return () => animation.cancel();
  }, [fill?.at, fill?.until, fill?.from, fill?.to]);
  return <span class="fill" ref={layer} aria-hidden="true" />;
}

import { computed } from '@preact/signals';
import { useLayoutEffect, useMemo, useRef } from 'preact/hooks';
import type { ButtonState, ButtonSummary } from '../../../node/api/contract.ts';
import { pressFeel } from '../parts/press-feel.ts';
import { startAskingForHaze, toggle, waiting } from '../presses.ts';
import { ButtonPicture } from '../room/button-picture.tsx';
import { isOpen, nodeNow, seen, state } from '../state.ts';
import { buttonState, type Fill, fillOf, shareAt } from './button-state.ts';
import { HoldButton } from './hold-button.tsx';
import { MovingEdge } from './moving-edge.tsx';

type Shown = ButtonState['state'] | 'waiting';

const words: Readonly<Record<Shown, string>> = {
  off: '',
  waiting: 'asked',
  coming: 'coming',
  on: 'on',
  partly: 'partly on',
  underneath: 'waits underneath',
  going: 'going',
};

/** A button of the show: what guests will see, and how far that has come. */
export const ShowButton = (props: ShowButtonProps) =>
  props.button.kind === 'hold' ? <HoldButton button={props.button} /> : <PressButton {...props} />;

interface ShowButtonProps {
  readonly button: ButtonSummary;
  readonly inView: boolean;
}

function PressButton({ button, inView }: ShowButtonProps) {
  // Not `disabled`: who works by keyboard must not lose the place with the network.
  const open = isOpen.value;
  const { real, shown, word, fill } = useStanding(button);
  const said = [button.line, ...button.notes].filter((one) => one !== '').join(' · ');
  const press = () => {
    const starts = real !== 'on' && real !== 'coming';
    if (open) startAskingForHaze(starts && button.haze, () => toggle(button.id, real));
  };
  return (
    <button
      type="button"
      class="show-button"
      data-button={button.id}
      data-state={shown}
      aria-pressed={real === 'partly' ? 'mixed' : real === 'on' || real === 'coming'}
      aria-disabled={!open}
      {...pressFeel}
      onClick={press}
    >
      {fill !== undefined && <FadeLine fill={fill} />}
      {shown === 'waiting' && <MovingEdge />}
      <ButtonPicture button={button} inView={inView} />
      <span class="name">{button.name}</span>
      {word !== '' && <strong class="state-word">{word}</strong>}
      <span class="line">{said}</span>
    </button>
  );
}

interface Standing {
  readonly real: ButtonState['state'];
  readonly shown: Shown;
  readonly word: string;
  readonly fill?: Fill;
}

/** How a button stands. Of all that the node says only what concerns this button draws it anew. */
function useStanding(button: ButtonSummary): Standing {
  const told = useMemo(() => computed(() => JSON.stringify(standingOf(button))), [button]).value;
  return useMemo(() => JSON.parse(told) as Standing, [told]);
}

function standingOf({ id, uses }: ButtonSummary): Standing {
  const now = state.value;
  const { state: real, fade } = buttonState(now, id);
  const shown: Shown = waiting.value.has(id) ? 'waiting' : real;
  const fill = now === undefined || fade === undefined ? undefined : fillOf({ id, state: real, fade }, now);
  const word = shown === 'on' && isDark(uses) ? 'on, dark' : words[shown];
  return { real, shown, word, ...(fill === undefined ? {} : { fill }) };
}

/** Whether nothing of these uses gives light just now, as the node sees it. */
function isDark(uses: readonly string[]): boolean {
  const now = seen.value;
  const lights = uses.filter((use) => use !== 'haze');
  return now !== undefined && lights.length > 0 && !now.parts.some(({ use }) => lights.includes(use));
}

/** Grows and shrinks with the fade, by the node's clock; the browser moves it without asking the page again. */
function FadeLine({ fill }: { readonly fill: Fill }) {
  const layer = useRef<HTMLSpanElement>(null);
  useLayoutEffect(() => {
    const element = layer.current;
    if (element === null) return;
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
  }, [fill.at, fill.until, fill.from, fill.to]);
  return (
    <span class="fade-line" aria-hidden="true">
      <span ref={layer} />
    </span>
  );
}

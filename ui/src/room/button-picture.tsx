import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { ButtonFrame, ButtonSummary, ShowSummary } from '../../../node/api/contract.ts';
import { hello } from '../state.ts';
import { Painter } from './painter.ts';

/** How finely a picture as small as this is worked out. */
const COLUMNS = 40;
/** What moves goes from moment to moment in this time, in so many steps: enough to be told from what stands still. Milliseconds. */
const MOMENT = 730;
const STEPS = 4;
const [CSS_WIDTH, CSS_HEIGHT] = [120, 87] as const;

let painter: { readonly of: ShowSummary; readonly painter: Painter } | undefined;
/** One painter paints all buttons of a show. */
function painterOf(show: ShowSummary): Painter {
  if (painter?.of !== show) painter = { of: show, painter: new Painter(show.fixtures, COLUMNS) };
  return painter.painter;
}

/** What a button alone lights, painted as the room is; in motion where it moves, and only while its page is the one in view. */
export function ButtonPicture({ button, inView }: { readonly button: ButtonSummary; readonly inView: boolean }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const show = hello.value?.show;
  const frames = useMemo(() => (show === undefined ? [] : button.frames.map((frame) => spread(frame, show))), [show, button]);
  useEffect(() => {
    const context = canvas.current?.getContext('2d', { alpha: false });
    if (!context || show === undefined || !inView || frames.length === 0) return;
    const paint = (step: number) => {
      const [from, to] = [frames[Math.floor(step / STEPS) % frames.length], frames[(Math.floor(step / STEPS) + 1) % frames.length]];
      if (from === undefined || to === undefined) return;
      const share = (step % STEPS) / STEPS;
      const colours = share < 0.5 ? from.colours : to.colours;
      const one = painterOf(show);
      one.field.set(colours);
      one.paint(
        context,
        colours,
        from.aims.map((angle, i) => angle + ((to.aims[i] ?? angle) - angle) * share),
      );
    };
    paint(0);
    if (frames.length < 2 || matchMedia('(prefers-reduced-motion: reduce)').matches) return;
    let step = 0;
    const timer = setInterval(() => document.visibilityState === 'visible' && paint(++step), MOMENT / STEPS);
    return () => clearInterval(timer);
  }, [show, frames, inView]);
  return (
    <span class="button-picture" aria-hidden="true">
      <canvas ref={canvas} width={CSS_WIDTH * 2} height={CSS_HEIGHT * 2} />
    </span>
  );
}

/** Places and values of a moment, spread out over all lamps; what it leaves alone is dark. */
function spread(
  { colours, aims }: ButtonFrame,
  { fixtures }: ShowSummary,
): { readonly colours: number[]; readonly aims: number[] } {
  const fill = (length: number, told: readonly number[]): number[] => {
    const all = new Array<number>(length).fill(0);
    for (let i = 0; i + 1 < told.length; i += 2) all[told[i] as number] = told[i + 1] as number;
    return all;
  };
  return { colours: fill(fixtures.length, colours), aims: fill(2 * fixtures.filter((one) => one.head === true).length, aims) };
}

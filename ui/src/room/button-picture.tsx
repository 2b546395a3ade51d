import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { ButtonFrame, ButtonSummary, ShowSummary } from '../../../node/api/contract.ts';
import { hello } from '../state.ts';
import type { Moment } from './easel.ts';
import { isApart, paintStrip } from './painting.ts';

/** What moves goes from moment to moment in this time, in so many steps: enough to be told from what stands still. Milliseconds. */
const MOMENT = 730;
const STEPS = 4;
/** Pixels of one picture: twice what it measures on the screen. */
const [WIDTH, HEIGHT] = [192, 139] as const;

/** What a button alone lights, painted as the room is; in motion where it moves, and only while its page is the one in view. */
export function ButtonPicture({ button, inView }: { readonly button: ButtonSummary; readonly inView: boolean }) {
  const show = hello.value?.show;
  const lamps = show === undefined ? 0 : show.fixtures.length;
  // A line that came back brings the same moments.
  const same = useMemo(() => JSON.stringify([lamps, button.frames]), [lamps, button]);
  const moments = useMemo(() => (show === undefined ? [] : momentsOf(button.frames, show)), [same]);
  return (
    <span class="button-picture" data-moves={moments.length > 1 && inView} aria-hidden="true">
      <Strip key={`${same} ${isApart.value}`} moments={moments} first={inView} />
    </span>
  );
}

/** All moments one below the other, painted once; a style sheet lets one after the other be seen, which costs the page nothing. */
function Strip({ moments, first }: { readonly moments: readonly Moment[]; readonly first: boolean }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => (canvas.current === null || moments.length === 0 ? undefined : paintStrip(canvas.current, moments, first)), []);
  return (
    <canvas
      ref={canvas}
      width={WIDTH}
      height={HEIGHT * Math.max(1, moments.length)}
      style={{ animationDuration: `${(moments.length * MOMENT) / STEPS}ms`, animationTimingFunction: `steps(${moments.length})` }}
    />
  );
}

/** What is seen one after the other: one picture of what stands still, or where nothing is to move. */
function momentsOf(frames: readonly ButtonFrame[], show: ShowSummary): readonly Moment[] {
  const whole = frames.map((frame) => spread(frame, show));
  const [first] = whole;
  if (first === undefined || whole.length === 1 || matchMedia('(prefers-reduced-motion: reduce)').matches) return whole.slice(0, 1);
  return whole.flatMap((from, i) => {
    const to = whole[(i + 1) % whole.length] ?? first;
    return Array.from({ length: STEPS }, (_, step) => {
      const share = step / STEPS;
      return {
        colours: share < 0.5 ? from.colours : to.colours,
        aims: from.aims.map((angle, at) => angle + ((to.aims[at] ?? angle) - angle) * share),
      };
    });
  });
}

/** Places and values of a moment, spread out over all lamps; what it leaves alone is dark. */
function spread({ colours, aims }: ButtonFrame, { fixtures }: ShowSummary): Moment {
  const fill = (length: number, told: readonly number[]): number[] => {
    const all = new Array<number>(length).fill(0);
    for (let i = 0; i + 1 < told.length; i += 2) all[told[i] as number] = told[i + 1] as number;
    return all;
  };
  return { colours: fill(fixtures.length, colours), aims: fill(2 * fixtures.filter((one) => one.head === true).length, aims) };
}

import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import './colour-plane.css';
import { counted } from '../../../../node/core/words.ts';
import { ColourNames } from '../../../../node/light/colour-names.ts';
import { type Place, placeOf } from '../../../../node/light/colour-plane.ts';
import { parseColour } from '../../../../node/light/colour-value.ts';
import { chromaticityOf } from '../../../../node/light/of-value.ts';
import { type Mixers, mixersOf, type Reached, ReachPlane, reachedAt } from '../../../../node/playback/reach-plane.ts';
import type { Show } from '../../../../node/show/document.ts';
import { pullGesture } from '../edits.ts';
import { cssOf } from '../written.ts';
import { drawPlane } from './plane-picture.ts';
import { useRig } from './reach-note.tsx';
import { valueAt } from './value-at.ts';

interface ColourPlaneProps {
  /** The lamps that shall reach it. */
  readonly show: Pick<Show, 'fixtures' | 'fixtureTypes'>;
  /** What is pulled, in its label. */
  readonly called: string;
  /** As a document has it; none: nothing is picked yet. */
  readonly value: string | undefined;
  readonly onPull: (value: string, gesture: string) => void;
}

/** Points across and upwards at which is asked what lamps reach. */
const [COLUMNS, ROWS] = [72, 44];
/** A pull that begins so near to the thumb moves it along, and does not put it under the finger. Pixels. */
const ON_THUMB = 28;
/** What one press of an arrow key moves it by, and one with Shift. */
const [STEP, LARGE_STEP] = [0.01, 0.05];

const arrows: Readonly<Record<string, readonly [across: number, up: number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};
const within = (share: number): number => Math.min(1, Math.max(0, share));
const plain = new ColourNames([]);

/** A colour by eye: hue across, strength upwards, and what the lamps reach of it. It follows a finger, or arrow keys. */
export function ColourPlane({ show, called, value, onPull }: ColourPlaneProps) {
  const rig = useRig(show);
  const mixers = useMemo(() => mixersOf(rig?.fixtures ?? []), [rig]);
  const [own, setOwn] = useState<{ readonly place: Place; readonly value: string } | undefined>(undefined);
  const plane = useRef<HTMLDivElement>(null);
  const pulled = useRef<{ readonly gesture: string; readonly across: number; readonly up: number } | undefined>(undefined);
  const keyed = useRef('');
  // Of a colour that came from here the place is known better than its written form says.
  const place = own !== undefined && own.value === value ? own.place : placeOfValue(value);
  const css = cssOf(value ?? '', []);
  const reached = reachedAt(place, mixers);

  const put = ({ across, up }: Place, gesture: string): void => {
    const next = { across: within(across), up: within(up) };
    const now = valueAt(next);
    setOwn({ place: next, value: now });
    if (now !== value) onPull(now, gesture);
  };
  const at = (event: PointerEvent): Place => {
    const { left, bottom, width, height } = (plane.current as HTMLDivElement).getBoundingClientRect();
    return { across: (event.clientX - left) / width, up: (bottom - event.clientY) / height };
  };
  const begin = (event: PointerEvent): void => {
    const { width, height } = (plane.current as HTMLDivElement).getBoundingClientRect();
    const finger = at(event);
    const off = { across: place.across - finger.across, up: place.up - finger.up };
    const isOnThumb = Math.hypot(off.across * width, off.up * height) < ON_THUMB;
    const gesture = pullGesture();
    plane.current?.setPointerCapture(event.pointerId);
    pulled.current = { gesture, across: isOnThumb ? off.across : 0, up: isOnThumb ? off.up : 0 };
    if (!isOnThumb) put(finger, gesture);
  };
  const follow = (event: PointerEvent): void => {
    if (pulled.current === undefined) return;
    const { gesture, across, up } = pulled.current;
    const finger = at(event);
    put({ across: finger.across + across, up: finger.up + up }, gesture);
  };
  const end = (): void => {
    pulled.current = undefined;
  };
  const press = (event: KeyboardEvent): void => {
    const way = arrows[event.key];
    if (way === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const by = event.shiftKey ? LARGE_STEP : STEP;
    // Hues go round: past one edge is the other.
    put({ across: (place.across + way[0] * by + 1) % 1, up: place.up + way[1] * by }, keyed.current);
  };
  /** Two sliders under one thumb, for there is none of two ways: either of them takes all four arrows. */
  const slider = (label: string, share: number, set: (share: number) => Place) => (
    <input
      type="range"
      min="0"
      max="100"
      step="1"
      value={Math.round(share * 100)}
      aria-label={`${called}: ${label}`}
      aria-valuetext={`${wordsOf(css)}, ${reachWords(reached, mixers)}`}
      onFocus={() => {
        keyed.current = pullGesture();
      }}
      onKeyDown={press}
      onInput={({ currentTarget }) => put(set(Number(currentTarget.value) / 100), keyed.current)}
    />
  );
  return (
    <div class="colour-plane">
      <div
        ref={plane}
        class="colour-plane-area"
        onPointerDown={begin}
        onPointerMove={follow}
        onPointerUp={end}
        onPointerCancel={end}
      >
        <PlanePicture mixers={mixers} />
        <div
          class="colour-plane-thumb"
          style={{ left: `${place.across * 100}%`, bottom: `${place.up * 100}%`, background: css ?? 'transparent' }}
        >
          {slider('hue', place.across, (across) => ({ ...place, across }))}
          {slider('strength', place.up, (up) => ({ ...place, up }))}
        </div>
      </div>
      <Legend mixers={mixers} reached={reached} />
    </div>
  );
}

function PlanePicture({ mixers }: { readonly mixers: Mixers }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const reach = useMemo(() => new ReachPlane(mixers, COLUMNS, ROWS), [mixers]);
  useEffect(() => {
    const own = canvas.current;
    if (own === null) return;
    const draw = (): void => {
      const scale = Math.min(2, devicePixelRatio);
      own.width = Math.round(own.clientWidth * scale);
      own.height = Math.round(own.clientHeight * scale);
      drawPlane(own, reach, scale);
    };
    const sized = new ResizeObserver(draw);
    sized.observe(own);
    return () => sized.disconnect();
  }, [reach]);
  return <canvas ref={canvas} />;
}

/** What the patterns mean; the one under the thumb is said. */
function Legend({ mixers, reached }: { readonly mixers: Mixers; readonly reached: Reached }) {
  if (mixers.lights === 0)
    return <p class="quiet">None of these lights mixes its colour, so what they reach of it is not known.</p>;
  const rows: readonly Reached[] = mixers.gamuts.length > 1 ? ['all', 'some', 'none'] : ['all', 'none'];
  return (
    <ul class="colour-plane-legend">
      {rows.map((one) => (
        <li key={one} data-here={one === reached}>
          <i data-reached={one} aria-hidden="true" />
          {reachWords(one, mixers)}
        </li>
      ))}
    </ul>
  );
}

function reachWords(reached: Reached, { lights }: Mixers): string {
  if (lights === 0) return 'no light is known that mixes it';
  if (reached === 'some') return 'some of them do';
  if (lights === 1) return reached === 'all' ? 'the light reaches it' : 'it does not';
  return reached === 'all' ? `all ${counted(lights, 'light')} reach it` : 'none of them does';
}

const wordsOf = (css: string | undefined): string =>
  css === undefined ? 'no colour' : plain.nameOf(Number.parseInt(css.slice(1), 16));

function placeOfValue(value: string | undefined): Place {
  const parsed = value === undefined ? undefined : parseColour(value);
  const at = parsed && chromaticityOf(parsed, () => ({ kind: 'kelvin', kelvin: 3000 }));
  return at === undefined ? { across: 0.5, up: 0 } : placeOf(...at);
}

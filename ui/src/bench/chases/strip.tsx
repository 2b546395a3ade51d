import { useEffect, useRef, useState } from 'preact/hooks';
import type { Part, Show } from '../../../../node/show/document.ts';
import { as } from '../../parts/spoken.tsx';
import { lengthOf, pulledTo, type Stretch, writeShare, writeStretch } from '../amounts.ts';
import { coloursOf, partInWords } from '../parts/part-words.ts';
import { newGesture } from '../typed.tsx';
import { cssOf } from '../written.ts';
import { type Step, scaleOf } from './steps.ts';

interface StripProps {
  readonly steps: readonly Step[];
  /** The step that is open. */
  readonly at: number;
  readonly show: Show;
  readonly onChoose: (at: number) => void;
  readonly onLength: (length: Stretch, gesture: string) => void;
}

/** Pixels of a thumb. */
const THUMB = 48;

/** The round of a chase as a strip of time: each step as wide as it is long. The end of the open one can be pulled. */
export function StepStrip({ steps, at, show, onChoose, onLength }: StripProps) {
  const place = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  // While a step is pulled the strip keeps its scale, or its end would run away from the finger.
  const [held, setHeld] = useState<number | undefined>(undefined);
  useEffect(() => {
    const element = place.current;
    if (element === null) return;
    // Room for the grip at the end of the last step.
    const observer = new ResizeObserver(() => setWidth(Math.max(0, element.clientWidth - THUMB)));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const scale = held ?? scaleOf(steps, width, THUMB);
  return (
    <div ref={place} class="steps">
      <ol {...as.list}>
        {steps.map((step, i) => (
          <li key={i} style={{ width: `${Math.max(THUMB, lengthOf(step.length) * scale)}px` }}>
            <StepFace step={step} at={i} isOpen={i === at} show={show} onChoose={onChoose} />
            {i === at && <Grip step={step} at={i} scale={scale} onHold={setHeld} onLength={onLength} />}
          </li>
        ))}
      </ol>
    </div>
  );
}

interface FaceProps {
  readonly step: Step;
  readonly at: number;
  readonly isOpen: boolean;
  readonly show: Show;
  readonly onChoose: (at: number) => void;
}

function StepFace({ step, at, isOpen, show, onChoose }: FaceProps) {
  const { parts, length, fade } = step;
  const told = parts.map((part) => partInWords(part, show)).join('; ');
  return (
    <button type="button" class="step-face" aria-pressed={isOpen} onClick={() => onChoose(at)}>
      <span class="step-colours" aria-hidden="true">
        {parts.flatMap((part, i) =>
          barsOf(part, show).map((background, k) => <i key={`${i} ${k}`} style={{ background, height: heightOf(part) }} />),
        )}
        <i class="step-fade" style={{ width: `${fade * 100}%` }} />
      </span>
      <span class="spoken">
        Step {at + 1}, {told},{fade > 0 ? ` comes over in ${writeShare(fade)},` : ''}{' '}
      </span>
      <span class="step-length">{writeStretch(length)}</span>
    </button>
  );
}

/** As high as it is bright; where its level is left to what plays below, as high as can be. */
const heightOf = ({ level }: Part): string => `${Math.round((level ?? 1) * 100)}%`;

/** The colours of a part; light without one in the tone of the page. */
function barsOf(part: Part, show: Show): readonly string[] {
  const colours = coloursOf(part);
  if (colours.length > 0) return colours.map((value) => cssOf(value, show.theme.colours) ?? 'transparent');
  return [part.level === undefined ? 'transparent' : 'var(--quiet)'];
}

interface GripProps {
  readonly step: Step;
  readonly at: number;
  readonly scale: number;
  readonly onHold: (scale: number | undefined) => void;
  readonly onLength: (length: Stretch, gesture: string) => void;
}

/** The end of a step: pulled by a finger, or moved by the arrow keys. */
function Grip({ step, at, scale, onHold, onLength }: GripProps) {
  const pull = useRef<
    { readonly x: number; readonly length: number; readonly scale: number; readonly gesture: string } | undefined
  >(undefined);
  const byKey = useRef('');
  const inBeats = 'beats' in step.length;
  const length = lengthOf(step.length);
  const end = (): void => {
    pull.current = undefined;
    onHold(undefined);
  };
  return (
    <div
      class="step-grip"
      role="slider"
      tabIndex={0}
      aria-label={`Length of step ${at + 1}`}
      aria-valuemin={inBeats ? 0.25 : 0.1}
      aria-valuemax={inBeats ? 256 : 3600}
      aria-valuenow={length}
      aria-valuetext={writeStretch(step.length)}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        pull.current = { x: event.clientX, length, scale, gesture: newGesture() };
        onHold(scale);
      }}
      onPointerMove={({ clientX }) => {
        const from = pull.current;
        if (from === undefined) return;
        const next = pulledTo(from.length + (clientX - from.x) / from.scale, inBeats);
        if (lengthOf(next) !== length) onLength(next, from.gesture);
      }}
      onPointerUp={end}
      onPointerCancel={end}
      onFocus={() => {
        byKey.current = newGesture();
      }}
      onKeyDown={(event) => {
        const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
        if (by === undefined) return;
        event.preventDefault();
        onLength(pulledTo(length + by * (inBeats ? 0.25 : 0.1), inBeats), byKey.current);
      }}
    >
      <span aria-hidden="true">↔</span>
    </div>
  );
}

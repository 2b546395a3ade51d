import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { ShowSummary } from '../../../node/api/contract.ts';
import { noteLevel } from '../levels.ts';
import { roomInWords } from '../parts/room-words.ts';
import { Throttle } from '../parts/throttle.ts';
import { tell } from '../presses.ts';
import { goTo } from '../route.ts';
import { aims, colourNames, hello, isOpen, may, picture, state } from '../state.ts';
import { Painter } from './painter.ts';
import { HEIGHT, WIDTH } from './shape.ts';
import { touchedUse } from './touch.ts';

/** Light in the picture settles in about a fifth of a second: a strobe in the room is a glow here, for the interface never flashes. */
const SETTLES = 90;
const FRAME = 33;
const COLUMNS = 160;
/** Commands while a level follows a finger, at most one in so many milliseconds. */
const EVERY = 66;
/** Pixels that a finger must have pulled before a level moves: a touch alone changes no light. */
const SLACK = 12;
/** A touch that stays this long asks which lamps these are. Milliseconds. */
const LONG = 650;
const STAYS = 2500;

interface Touched {
  readonly id: string;
  readonly use: string;
  readonly name: string;
  readonly level: number;
}

/** The room, painted from the light that really goes to the wire. A surface that is touched says its name; pulled, its level follows. */
export function Room({ onLamp }: { readonly onLamp?: (light: number) => void }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const show = hello.value?.show;
  const painter = useMemo(() => new Painter(show?.fixtures ?? [], COLUMNS), [show?.fixtures]);
  usePainting(canvas, painter);
  const [touched, setTouched] = useState<Touched | undefined>(undefined);
  const hold = useTouch(painter, setTouched);
  return (
    <div
      class="room"
      role="img"
      aria-label={`The room now: ${roomInWords(show?.fixtures ?? [], picture.value, colourNames.value)}`}
      {...(onLamp !== undefined
        ? { onClick: (event: MouseEvent) => onLamp(nearestLamp(painter, event)) }
        : may('master')
          ? hold
          : {})}
      data-pull={onLamp === undefined && may('master')}
    >
      <canvas ref={canvas} />
      {touched !== undefined && (
        <p class="room-touched" aria-live="polite">
          <strong>{touched.name}</strong> {isDark(show?.fixtures ?? [], touched.use) && 'dark now, '}level{' '}
          {Math.round(touched.level * 100)} %
        </p>
      )}
    </div>
  );
}

/** Whether no lamp of a use gives light in the picture: its level says only how much it may give. */
const isDark = (fixtures: ShowSummary['fixtures'], use: string): boolean =>
  fixtures.every((fixture, i) => fixture.use !== use || (picture.value[i] ?? 0) === 0);

/** Where an event falls, in the measures of the room's picture. */
function placeOf({ clientX, clientY, currentTarget }: MouseEvent): readonly [x: number, y: number] {
  const box = (currentTarget as HTMLElement).getBoundingClientRect();
  return [((clientX - box.left) * WIDTH) / box.width, ((clientY - box.top) * HEIGHT) / box.height];
}

function nearestLamp({ lamps }: Painter, event: MouseEvent): number {
  const [x, y] = placeOf(event);
  const [nearest] = [...lamps].sort((a, b) => Math.hypot(a.x - x, a.y - y) - Math.hypot(b.x - x, b.y - y));
  return nearest?.light ?? -1;
}

function usePainting(canvas: { readonly current: HTMLCanvasElement | null }, painter: Painter): void {
  useEffect(() => {
    const element = canvas.current;
    const context = element?.getContext('2d', { alpha: false });
    if (!element || !context) return;
    let frame = 0;
    let painted = -FRAME;
    const draw = (now: number) => {
      frame = 0;
      const passed = Math.min(200, now - painted);
      if (passed >= FRAME) {
        painted = now;
        const moving = painter.field.approach(1 - Math.exp(-passed / SETTLES));
        painter.paint(context, picture.peek(), aims.peek());
        if (!moving) return;
      }
      ask();
    };
    const ask = () => {
      if (frame === 0) frame = requestAnimationFrame(draw);
    };
    const size = () => {
      const scale = Math.min(2, devicePixelRatio);
      element.width = Math.max(1, Math.round(element.clientWidth * scale));
      element.height = Math.max(1, Math.round(element.clientHeight * scale));
      ask();
    };
    const observer = new ResizeObserver(size);
    observer.observe(element);
    const ends = [
      picture.subscribe((colours) => {
        painter.field.want(colours);
        ask();
      }),
      aims.subscribe(ask),
    ];
    return () => {
      observer.disconnect();
      for (const end of ends) end();
      cancelAnimationFrame(frame);
    };
  }, [painter]);
}

interface Pulling {
  readonly pointer: number;
  readonly x: number;
  readonly y: number;
  readonly on: Touched;
  moving: boolean;
  readonly long: number;
}

/** A finger on the room: what it touches, and the level that follows it. The picture itself never scrolls. */
function useTouch(painter: Painter, show: (touched: Touched | undefined) => void) {
  const pulling = useRef<Pulling | undefined>(undefined);
  const leaves = useRef<number | undefined>(undefined);
  const send = useMemo(() => new Throttle<Touched>(EVERY, ({ id, level }) => tell({ do: 'master', group: id, level })), []);
  useEffect(() => () => clearTimeout(leaves.current), []);
  const end = () => {
    const now = pulling.current;
    if (now === undefined) return;
    clearTimeout(now.long);
    pulling.current = undefined;
    clearTimeout(leaves.current);
    leaves.current = setTimeout(() => show(undefined), STAYS);
  };
  return {
    onPointerDown: (event: PointerEvent) => {
      const show_ = hello.peek()?.show;
      const element = event.currentTarget as HTMLElement;
      if (event.button !== 0 || show_ === undefined || !isOpen.peek()) return;
      const [x, y] = placeOf(event);
      const found = touchedUse(show_.uses, painter.lamps, x, y);
      if (found === undefined) return;
      element.setPointerCapture(event.pointerId);
      clearTimeout(leaves.current);
      const level = state.peek()?.masters.groups[found.id] ?? 1;
      const on = { id: found.id, use: found.use, name: found.name, level };
      show(on);
      const long = setTimeout(() => goTo('wire', found.use), LONG);
      pulling.current = { pointer: event.pointerId, x: event.clientX, y: event.clientY, on, moving: false, long };
    },
    onPointerMove: (event: PointerEvent) => {
      const now = pulling.current;
      if (now?.pointer !== event.pointerId) return;
      const up = now.y - event.clientY;
      if (!now.moving && Math.hypot(up, event.clientX - now.x) < SLACK) return;
      clearTimeout(now.long);
      if (!now.moving) noteLevel({ group: now.on.id, name: now.on.name, level: now.on.level });
      now.moving = true;
      const height = (event.currentTarget as HTMLElement).clientHeight;
      const level = Math.round(Math.min(1, Math.max(0, now.on.level + up / (height * 0.8))) * 100) / 100;
      show({ ...now.on, level });
      send.push({ ...now.on, level });
    },
    onPointerUp: end,
    onPointerCancel: end,
    onContextMenu: (event: Event) => event.preventDefault(),
  };
}

import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { FixtureSummary, ShowSummary } from '../../../node/api/contract.ts';
import { own } from '../../../node/core/own.ts';
import { noteLevel } from '../levels.ts';
import { roomInWords } from '../parts/room-words.ts';
import { Throttle } from '../parts/throttle.ts';
import { tell } from '../presses.ts';
import { goTo } from '../route.ts';
import { colourNames, hello, isOpen, may, picture, state } from '../state.ts';
import { type PlacedLamp, placeLamps } from './lamps.ts';
import { isApart, paintRoom } from './painting.ts';
import { HEIGHT, WIDTH } from './shape.ts';
import { touchedUse } from './touch.ts';

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
export function Room({ onLamp }: { readonly onLamp?: ((light: number) => void) | undefined }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const show = hello.value?.show;
  const element = useRef<HTMLDivElement>(null);
  const lamps = useMemo(() => placeLamps(show?.fixtures ?? []), [show?.fixtures]);
  usePainting(canvas);
  useSaid(element);
  const [touched, setTouched] = useState<Touched | undefined>(undefined);
  const hold = useTouch(lamps, setTouched);
  return (
    <div
      ref={element}
      class="room"
      role="img"
      {...(onLamp !== undefined
        ? { onClick: (event: MouseEvent) => onLamp(nearestLamp(lamps, event)) }
        : may('master')
          ? hold
          : {})}
      data-pull={onLamp === undefined && may('master')}
    >
      <canvas key={isApart.value ? 'apart' : 'here'} ref={canvas} />
      {touched !== undefined && (
        <p class="room-touched" aria-live="polite">
          <strong>{touched.name}</strong> {isDark(show?.fixtures ?? [], touched.use) && 'dark now, '}level{' '}
          {Math.round(touched.level * 100)} %
        </p>
      )}
    </div>
  );
}

interface PaintedRoomProps {
  readonly label: string;
  /** The lamps that are painted. */
  readonly fixtures: readonly Pick<FixtureSummary, 'id' | 'use' | 'head'>[];
  readonly onLamp?: ((light: number) => void) | undefined;
}

/** The same picture of whatever is painted; of its lamps one may be touched, and no level. */
export function PaintedRoom({ label, fixtures, onLamp }: PaintedRoomProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const lamps = useMemo(() => placeLamps(fixtures), [fixtures]);
  usePainting(canvas);
  return (
    <div
      class="room"
      role="img"
      aria-label={label}
      {...(onLamp === undefined ? {} : { onClick: (event: MouseEvent) => onLamp(nearestLamp(lamps, event)) })}
    >
      <canvas key={isApart.value ? 'apart' : 'here'} ref={canvas} />
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

function nearestLamp(lamps: readonly PlacedLamp[], event: MouseEvent): number {
  const [x, y] = placeOf(event);
  const [nearest] = [...lamps].sort((a, b) => Math.hypot(a.x - x, a.y - y) - Math.hypot(b.x - x, b.y - y));
  return nearest?.light ?? -1;
}

function usePainting(canvas: { readonly current: HTMLCanvasElement | null }): void {
  const apart = isApart.value;
  useEffect(() => {
    const element = canvas.current;
    if (element === null) return;
    const room = paintRoom(element);
    const observer = new ResizeObserver(() => {
      const scale = Math.min(2, devicePixelRatio);
      room.size(Math.max(1, Math.round(element.clientWidth * scale)), Math.max(1, Math.round(element.clientHeight * scale)));
    });
    observer.observe(element);
    return () => {
      observer.disconnect();
      room.close();
    };
  }, [canvas, apart]);
}

/** How often those who listen may be told of the room anew. Milliseconds. */
const SAID_EVERY = 1000;

/** The room in words, at the element that shows it: not drawn anew with every picture, of which there are twenty a second. */
function useSaid(element: { readonly current: HTMLElement | null }): void {
  useEffect(() => {
    const say = () => {
      const words = `The room now: ${roomInWords(hello.peek()?.show.fixtures ?? [], picture.peek(), colourNames.peek())}`;
      if (element.current?.ariaLabel !== words) element.current?.setAttribute('aria-label', words);
    };
    say();
    let last = picture.peek();
    const timer = setInterval(() => {
      if (picture.peek() === last) return;
      last = picture.peek();
      say();
    }, SAID_EVERY);
    return () => clearInterval(timer);
  }, [element]);
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
function useTouch(lamps: readonly PlacedLamp[], show: (touched: Touched | undefined) => void) {
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
      const found = touchedUse(show_.uses, lamps, x, y);
      if (found === undefined) return;
      element.setPointerCapture(event.pointerId);
      clearTimeout(leaves.current);
      const level = own(state.peek()?.masters.groups ?? {}, found.id) ?? 1;
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

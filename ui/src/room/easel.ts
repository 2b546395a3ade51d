import type { Picture } from '../../../node/api/contract.ts';
import { Painter, type Shown } from './painter.ts';

/** How finely light on surfaces is worked out: of the room, and of a picture on a button. */
const ROOM_COLUMNS = 160;
const BUTTON_COLUMNS = 40;
/** Light in the picture settles in about a fifth of a second: a strobe in the room is a glow here, for the interface never flashes. */
const SETTLES = 90;
const FRAME = 33;

type Canvas = HTMLCanvasElement | OffscreenCanvas;
/** One moment of what a button lights, and how its heads stand then. */
export type Moment = Pick<Picture, 'colours' | 'aims'>;

/** What a page asks to have painted. Canvases are named by a number that the page gives out. */
export type Order =
  /** What all pictures are of; they go on, painted anew. */
  | { readonly do: 'lamps'; readonly fixtures: readonly Shown[] }
  /** The light in the room from now on. */
  | ({ readonly do: 'light' } & Moment)
  /** In the place of the room as it is lit, with lamps of its own; without them the room as it is lit again. */
  | {
      readonly do: 'instead';
      readonly fixtures?: readonly Shown[];
      readonly colours?: readonly number[];
      readonly aims?: readonly number[];
    }
  /** The room as it is lit, in so many pixels. */
  | { readonly do: 'room'; readonly id: number; readonly canvas: Canvas }
  | { readonly do: 'size'; readonly id: number; readonly width: number; readonly height: number }
  /** Moments of a button, one below the other, once. `first`: before those that are not. */
  | {
      readonly do: 'strip';
      readonly id: number;
      readonly canvas: Canvas;
      readonly moments: readonly Moment[];
      readonly first: boolean;
    }
  | { readonly do: 'close'; readonly id: number };

interface Room {
  readonly canvas: Canvas;
  readonly context: Context;
  painter: Painter;
  painted: number;
}

interface Strip {
  readonly id: number;
  readonly context: Context;
  readonly moments: readonly Moment[];
  done: number;
}

type Context = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;
const contextOf = (canvas: Canvas): Context | null => (canvas as OffscreenCanvas).getContext('2d', { alpha: false });

/** Paints the room as its light changes, and buttons' pictures in between, one moment at a time. Runs in a worker, or on a page without one. */
export class Easel {
  #fixtures: readonly Shown[] = [];
  #light: Moment = { colours: [], aims: [] };
  /** What rooms show instead. */
  #instead: (Moment & { readonly fixtures: readonly Shown[] }) | undefined;
  readonly #rooms = new Map<number, Room>();
  #strips: Strip[] = [];
  #small: Painter | undefined;
  #frame = 0;
  #next: ReturnType<typeof setTimeout> | undefined;

  take(order: Order): void {
    switch (order.do) {
      case 'lamps':
        this.#fixtures = order.fixtures;
        this.#small = undefined;
        for (const room of this.#rooms.values()) room.painter = this.#roomPainter();
        this.#ask();
        return;
      case 'light':
        this.#light = order;
        this.#relight();
        return;
      case 'instead': {
        const { fixtures, colours = [], aims = [] } = order;
        const isSame = fixtures !== undefined && JSON.stringify(fixtures) === JSON.stringify(this.#instead?.fixtures);
        this.#instead = fixtures === undefined ? undefined : { fixtures, colours, aims };
        if (!isSame) for (const room of this.#rooms.values()) room.painter = this.#roomPainter();
        this.#relight();
        return;
      }
      case 'room': {
        const context = contextOf(order.canvas);
        if (context === null) return;
        this.#rooms.set(order.id, { canvas: order.canvas, context, painter: this.#roomPainter(), painted: -FRAME });
        this.#ask();
        return;
      }
      case 'size': {
        const canvas = this.#rooms.get(order.id)?.canvas;
        if (canvas === undefined) return;
        canvas.width = order.width;
        canvas.height = order.height;
        this.#ask();
        return;
      }
      case 'strip': {
        const context = contextOf(order.canvas);
        if (context === null) return;
        const strip = { id: order.id, context, moments: order.moments, done: 0 };
        this.#strips = order.first ? [strip, ...this.#strips] : [...this.#strips, strip];
        this.#next ??= setTimeout(() => this.#paintNext());
        return;
      }
      case 'close':
        this.#rooms.delete(order.id);
        this.#strips = this.#strips.filter(({ id }) => id !== order.id);
        return;
    }
  }

  #roomPainter(): Painter {
    const painter = new Painter(this.#instead?.fixtures ?? this.#fixtures, ROOM_COLUMNS);
    painter.field.want(this.#shown.colours);
    return painter;
  }

  get #shown(): Moment {
    return this.#instead ?? this.#light;
  }

  #relight(): void {
    for (const { painter } of this.#rooms.values()) painter.field.want(this.#shown.colours);
    this.#ask();
  }

  #ask(): void {
    if (this.#frame === 0 && this.#rooms.size > 0) this.#frame = requestAnimationFrame((now) => this.#paintRooms(now));
  }

  #paintRooms(now: number): void {
    this.#frame = 0;
    let moving = false;
    for (const room of this.#rooms.values()) {
      const passed = Math.min(200, now - room.painted);
      if (passed < FRAME) {
        moving = true;
        continue;
      }
      room.painted = now;
      if (room.painter.field.approach(1 - Math.exp(-passed / SETTLES))) moving = true;
      room.painter.paint(room.context, this.#shown.colours, this.#shown.aims);
    }
    if (moving) this.#ask();
  }

  /** One moment of one button, and then whatever else waits. */
  #paintNext(): void {
    this.#next = undefined;
    const strip = this.#strips[0];
    const moment = strip?.moments[strip.done];
    if (strip === undefined || moment === undefined) return;
    this.#small ??= new Painter(this.#fixtures, BUTTON_COLUMNS);
    const { canvas } = strip.context;
    const height = canvas.height / strip.moments.length;
    this.#small.field.set(moment.colours);
    this.#small.paint(strip.context, moment.colours, moment.aims, { top: strip.done * height, height });
    strip.done++;
    if (strip.done >= strip.moments.length) this.#strips = this.#strips.filter((one) => one !== strip);
    if (this.#strips.length > 0) this.#next = setTimeout(() => this.#paintNext());
  }
}

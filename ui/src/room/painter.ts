import type { FixtureSummary } from '../../../node/api/contract.ts';
import { RoomField } from './field.ts';
import { type PlacedLamp, placeLamps } from './lamps.ts';
import { EDGES, HEIGHT, WIDTH } from './shape.ts';

export type Shown = Pick<FixtureSummary, 'band' | 'use' | 'head'>;

/** Length of a beam in the picture, and its width at the lamp and where it ends. */
const BEAM = 96;
const NARROW = 1;
const WIDE = 13;
/** Bulbs of a string, and how far it sags. */
const BULBS = 11;
const SAG = 9;

/**
 * Paints a room by its lamps' colours and the angles of its heads: the soft light on its surfaces from a small field, beams, bulbs and edges
 * sharp at whatever size it is painted. The room on top of Tonight and the pictures on buttons are painted by this and nothing else.
 */
export class Painter {
  readonly field: RoomField;
  readonly lamps: readonly PlacedLamp[];
  readonly #soft: HTMLCanvasElement | OffscreenCanvas;
  readonly #softContext: Context | null;
  readonly #image: ImageData;

  /** @param columns of the field: how finely light on surfaces is worked out */
  constructor(fixtures: readonly Shown[], columns: number) {
    const rows = Math.round((columns * HEIGHT) / WIDTH);
    this.field = new RoomField(fixtures, { columns, rows });
    this.lamps = placeLamps(fixtures);
    this.#soft = canvasOf(columns, rows);
    this.#softContext = (this.#soft as OffscreenCanvas).getContext('2d', { alpha: false });
    this.#image = new ImageData(columns, rows);
  }

  /** Paints what the field shows, and lamps in `colours` that look where `aims` says, over the whole canvas or a stretch of its height. */
  paint(
    context: Context,
    colours: readonly number[],
    aims: readonly number[],
    { top, height }: { readonly top: number; readonly height: number } = { top: 0, height: context.canvas.height },
  ): void {
    const { width } = context.canvas;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.save();
    // Beams end at the picture's edge, not in the next picture.
    context.beginPath();
    context.rect(0, top, width, height);
    context.clip();
    this.field.paint(this.#image.data);
    this.#softContext?.putImageData(this.#image, 0, 0);
    context.globalCompositeOperation = 'source-over';
    context.imageSmoothingQuality = 'high';
    context.drawImage(this.#soft, 0, top, width, height);
    context.translate(0, top);
    context.scale(width / WIDTH, height / HEIGHT);
    edges(context);
    context.globalCompositeOperation = 'lighter';
    for (const lamp of this.lamps) {
      const colour = colours[lamp.light] ?? 0;
      if (lamp.kind === 'hung' || lamp.kind === 'upright')
        head(context, lamp, colour, aims[2 * lamp.head] ?? 0, aims[2 * lamp.head + 1] ?? 0);
      else if (lamp.kind !== 'none') still(context, lamp, colour);
    }
    context.restore();
  }
}

type Context = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;

/** A canvas that nobody sees, also where there is no page. */
function canvasOf(width: number, height: number): HTMLCanvasElement | OffscreenCanvas {
  if (typeof OffscreenCanvas === 'function') return new OffscreenCanvas(width, height);
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  return canvas;
}

const css = (packed: number, alpha: number): string => `rgb(${packed >> 16} ${(packed >> 8) & 255} ${packed & 255} / ${alpha})`;
/** A lamp that is dark is still there: a little lighter than the room. */
const DARK_LAMP = 'rgb(90 84 78 / 0.55)';

function edges(context: Context): void {
  context.strokeStyle = 'rgb(150 140 130 / 0.28)';
  context.lineWidth = 0.4;
  context.beginPath();
  for (const [x, y, toX, toY] of EDGES) {
    context.moveTo(x, y);
    context.lineTo(toX, toY);
  }
  context.stroke();
}

function disc(context: Context, x: number, y: number, radius: number, fill: string | CanvasGradient): void {
  context.fillStyle = fill;
  context.beginPath();
  context.arc(x, y, radius, 0, 2 * Math.PI);
  context.fill();
}

function glow(context: Context, x: number, y: number, radius: number, packed: number, alpha: number): void {
  const gradient = context.createRadialGradient(x, y, 0, x, y, radius);
  gradient.addColorStop(0, css(packed, alpha));
  gradient.addColorStop(1, css(packed, 0));
  disc(context, x, y, radius, gradient);
}

function still(context: Context, { kind, x, y }: PlacedLamp, colour: number): void {
  const lit = colour !== 0;
  const fill = lit ? css(colour, 1) : DARK_LAMP;
  if (kind === 'bulbs') {
    context.strokeStyle = DARK_LAMP;
    context.lineWidth = 0.3;
    context.beginPath();
    context.moveTo(0, y - SAG / 2);
    context.quadraticCurveTo(x, y + SAG * 1.5, WIDTH, y - SAG / 2);
    context.stroke();
    for (let i = 0; i < BULBS; i++) {
      const along = (i + 0.5) / BULBS;
      const hangs = y - SAG / 2 + 4 * SAG * along * (1 - along);
      if (lit) glow(context, along * WIDTH, hangs, 5, colour, 0.35);
      disc(context, along * WIDTH, hangs, 0.9, fill);
    }
    return;
  }
  if (kind === 'bar') {
    context.fillStyle = fill;
    context.fillRect(x - 7, y, 14, 1.4);
    return;
  }
  if (kind === 'blinder') {
    if (lit) glow(context, x, y, 26, colour, 0.8);
    for (const side of [-2.6, 2.6]) disc(context, x + side, y, 2.2, fill);
    return;
  }
  if (lit) glow(context, x, y, 6, colour, 0.5);
  disc(context, x, y, 1.1, fill);
}

/** A head with its beam: tilt 0 looks straight down where it hangs, straight up where it stands; pan turns it about that. */
function head(context: Context, { kind, x, y }: PlacedLamp, colour: number, pan: number, tilt: number): void {
  const [turn, lean] = [(pan * Math.PI) / 180, (tilt * Math.PI) / 180];
  const down = (kind === 'hung' ? 1 : -1) * Math.cos(lean);
  const side = Math.sin(lean) * Math.cos(turn);
  // Towards the eye and away from it the beam is foreshortened.
  const depth = 0.35 * Math.sin(lean) * Math.sin(turn);
  const [dx, dy] = [side, down + depth];
  if (colour !== 0) {
    const [endX, endY] = [x + dx * BEAM, y + dy * BEAM];
    const length = Math.hypot(dx, dy) || 1;
    const [acrossX, acrossY] = [-dy / length, dx / length];
    const gradient = context.createLinearGradient(x, y, endX, endY);
    gradient.addColorStop(0, css(colour, 0.75));
    gradient.addColorStop(0.25, css(colour, 0.34));
    gradient.addColorStop(1, css(colour, 0.02));
    context.fillStyle = gradient;
    context.beginPath();
    context.moveTo(x + acrossX * NARROW, y + acrossY * NARROW);
    context.lineTo(endX + acrossX * WIDE, endY + acrossY * WIDE);
    context.lineTo(endX - acrossX * WIDE, endY - acrossY * WIDE);
    context.lineTo(x - acrossX * NARROW, y - acrossY * NARROW);
    context.fill();
    glow(context, x, y, 7, colour, 0.7);
  }
  disc(context, x, y, 1.5, colour === 0 ? DARK_LAMP : css(colour, 1));
}

import { chromaticityAtPlace } from '../../../../node/light/colour-plane.ts';
import { toEncoded, xyToLinear } from '../../../../node/light/oklab.ts';
import type { Reached, ReachPlane } from '../../../../node/playback/reach-plane.ts';

/** Points at which colours are worked out: what lies between them is filled in. */
const [COLUMNS, ROWS] = [120, 72];
/** All of it at full would be the brightest thing in a dark booth. */
const SHADE = 0.82;
/** Of the pattern of lines, in pixels of the page. */
const [APART, WIDTH] = [9, 1.5];

let drawn: OffscreenCanvas | undefined;

/** The colours of the plane, as bright as a screen can but for a shade; white at the bottom. */
function colours(): OffscreenCanvas {
  if (drawn !== undefined) return drawn;
  const canvas = new OffscreenCanvas(COLUMNS, ROWS);
  const context = canvas.getContext('2d');
  const image = new ImageData(COLUMNS, ROWS);
  for (let i = 0; i < COLUMNS * ROWS; i++) {
    const place = { across: (i % COLUMNS) / (COLUMNS - 1), up: 1 - Math.floor(i / COLUMNS) / (ROWS - 1) };
    const rgb = xyToLinear(...chromaticityAtPlace(place));
    for (const [k, part] of rgb.entries()) image.data[i * 4 + k] = 255 * SHADE * toEncoded(part);
    image.data[i * 4 + 3] = 255;
  }
  context?.putImageData(image, 0, 0);
  drawn = canvas;
  return canvas;
}

/** Opacity of the dark that is laid over a pixel, 0..1. */
function dark(reached: Reached, x: number, y: number): number {
  if (reached === 'all') return 0;
  const isOn = (at: number): boolean => ((at % APART) + APART) % APART < WIDTH;
  if (reached === 'some') return isOn((x + y) * Math.SQRT1_2) ? 0.85 : 0.15;
  return isOn((x + y) * Math.SQRT1_2) || isOn((x - y) * Math.SQRT1_2) ? 0.95 : 0.7;
}

/** Draws the plane as large as its canvas is. What every lamp reaches is plain, what only some reach is hatched, what none reaches is crossed out; lines part them. */
export function drawPlane(canvas: HTMLCanvasElement, reach: ReachPlane, scale: number): void {
  const context = canvas.getContext('2d');
  const { width, height } = canvas;
  if (context === null || width === 0 || height === 0) return;
  const over = new ImageData(width, height);
  const reached = Array.from({ length: width * height }, (_, i) =>
    reach.at({ across: (i % width) / (width - 1), up: 1 - Math.floor(i / width) / (height - 1) }),
  );
  for (const [i, one] of reached.entries()) {
    const [x, y] = [i % width, Math.floor(i / width)];
    const isEdge = (x >= 2 && reached[i - 2] !== one) || (y >= 2 && reached[i - 2 * width] !== one);
    over.data[i * 4 + 3] = 255 * (isEdge ? 1 : dark(one, x / scale, y / scale));
  }
  const layer = new OffscreenCanvas(width, height);
  layer.getContext('2d')?.putImageData(over, 0, 0);
  context.imageSmoothingQuality = 'high';
  context.drawImage(colours(), 0, 0, width, height);
  context.drawImage(layer, 0, 0);
}

import type { FixtureSummary } from '../../../node/api/contract.ts';
import { toEncoded, toLinear } from '../../../node/light/oklab.ts';
import { edgesOf, type Grid, type Reach, reachOf } from './reach.ts';
import { BACK, HEIGHT, surfaceAt, WIDTH } from './shape.ts';

/** A use of many lights is drawn as this many places, each the mean of its share of them: the eye parts no more on a phone. */
const PLACES = 24;
/** What surfaces give back of all light together, so that a lit wall is seen to light the room. */
const BOUNCE = 0.012;
/** Linear sRGB of a dark room: enough to tell wall from floor, less than any lamp. */
const DARK = { ceiling: 0.0042, walls: 0.0058, floor: 0.0036 };

/** Linear light of an 8-bit sRGB value, and back in finer steps. */
const linear = Float32Array.from({ length: 256 }, (_, i) => toLinear(i / 255));
const ENCODE_STEPS = 1023;
const encode = Uint8Array.from({ length: ENCODE_STEPS + 1 }, (_, i) => Math.round(255 * toEncoded(i / ENCODE_STEPS)));

/** Uses that light a surface less than a wash does. */
const shares: Readonly<Record<string, number>> = { centrepiece: 0.3, texture: 0.5 };

interface Place {
  readonly reach: Reach;
  /** Indices into the picture's colours. */
  readonly lights: readonly number[];
}

/** Paints what the fixtures give, added up in linear light and brought into the screen's range at the end. */
export class RoomField {
  readonly grid: Grid;
  readonly #places: readonly Place[];
  readonly #surface: Float32Array;
  /** Linear red, green and blue of every place: as painted now, and as it should become. */
  readonly #shown: Float32Array;
  readonly #wanted: Float32Array;
  readonly #sum: Float32Array;

  constructor(fixtures: readonly Pick<FixtureSummary, 'band' | 'use'>[], grid: Grid) {
    this.grid = grid;
    const edges = edgesOf(grid);
    const uses = [...new Set(fixtures.map(({ use }) => use))];
    this.#places = uses.flatMap((use) => {
      const lights = fixtures.flatMap((fixture, i) => (fixture.use === use ? [i] : []));
      const surface = fixtures.find((fixture) => fixture.use === use)?.band;
      // What hangs in the air is drawn as a beam.
      if (surface === undefined || surface === 'air') return [];
      const count = Math.min(PLACES, lights.length);
      return Array.from({ length: count }, (_, place) => ({
        reach: reachOf(surface, place, count, grid, edges).map((share) => share * (shares[use] ?? 1)),
        lights: lights.filter((_, i) => Math.floor((i * count) / lights.length) === place),
      }));
    });
    this.#surface = surfaces(grid);
    this.#shown = new Float32Array(this.#places.length * 3);
    this.#wanted = new Float32Array(this.#places.length * 3);
    this.#sum = new Float32Array(grid.columns * grid.rows * 3);
  }

  /** Takes a picture and shows it as it is, without a way there. */
  set(colours: readonly number[]): void {
    this.want(colours);
    this.#shown.set(this.#wanted);
  }

  /** Takes a picture of the node: packed 0xRRGGBB of every fixture. */
  want(colours: readonly number[]): void {
    this.#places.forEach(({ lights }, place) => {
      for (let channel = 0; channel < 3; channel++) {
        const shift = 16 - 8 * channel;
        const sum = lights.reduce((total, light) => total + (linear[((colours[light] ?? 0) >> shift) & 255] ?? 0), 0);
        this.#wanted[place * 3 + channel] = sum / lights.length;
      }
    });
  }

  /** Goes `share` of the way to what is wanted. @returns whether there is any way left. */
  approach(share: number): boolean {
    let furthest = 0;
    this.#wanted.forEach((wanted, i) => {
      const gap = wanted - (this.#shown[i] ?? 0);
      furthest = Math.max(furthest, Math.abs(gap));
      this.#shown[i] = Math.abs(gap) < 0.002 ? wanted : wanted - gap * (1 - share);
    });
    return furthest >= 0.002;
  }

  /** Writes the picture as RGBA, row by row. */
  paint(rgba: Uint8ClampedArray): void {
    const sum = this.#sum.fill(0);
    const bounce = [0, 0, 0];
    this.#places.forEach(({ reach }, place) => {
      const red = this.#shown[place * 3] ?? 0;
      const green = this.#shown[place * 3 + 1] ?? 0;
      const blue = this.#shown[place * 3 + 2] ?? 0;
      if (red + green + blue === 0) return;
      [red, green, blue].forEach((channel, i) => {
        bounce[i] = (bounce[i] ?? 0) + (channel * BOUNCE) / Math.sqrt(this.#places.length);
      });
      for (let i = 0, at = 0; i < reach.length; i++, at += 3) {
        const share = reach[i] ?? 0;
        if (share < 0.002) continue;
        sum[at] = (sum[at] ?? 0) + red * share;
        sum[at + 1] = (sum[at + 1] ?? 0) + green * share;
        sum[at + 2] = (sum[at + 2] ?? 0) + blue * share;
      }
    });
    for (let i = 0; i < this.#surface.length; i++) {
      const surface = this.#surface[i] ?? 0;
      const red = (sum[i * 3] ?? 0) + surface * 1.15 + (bounce[0] ?? 0);
      const green = (sum[i * 3 + 1] ?? 0) + surface + (bounce[1] ?? 0);
      const blue = (sum[i * 3 + 2] ?? 0) + surface * 0.85 + (bounce[2] ?? 0);
      // One gain for all three, so that bright light keeps its hue: m / (1 + m), lifted so that a lamp alone at full comes to nine tenths.
      const most = Math.max(red, green, blue);
      const gain = Math.min(1.8 / (1 + most), 1 / most) * ENCODE_STEPS;
      rgba[i * 4] = encode[Math.round(red * gain)] ?? 255;
      rgba[i * 4 + 1] = encode[Math.round(green * gain)] ?? 255;
      rgba[i * 4 + 2] = encode[Math.round(blue * gain)] ?? 255;
      rgba[i * 4 + 3] = 255;
    }
  }
}

function surfaces({ columns, rows }: Grid): Float32Array {
  return Float32Array.from({ length: columns * rows }, (_, i) => {
    const x = (((i % columns) + 0.5) * WIDTH) / columns;
    const y = ((Math.floor(i / columns) + 0.5) * HEIGHT) / rows;
    const surface = surfaceAt(x, y);
    const aside = surface === 'walls' && (x < BACK.left || x > BACK.right);
    return DARK[surface] * (aside ? 0.75 : 1);
  });
}

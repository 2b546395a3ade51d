import type { Triple } from '../core/vector.ts';
import { type Bundle, bundlesOf, type Emitter } from './emitter.ts';
import { planesOf, type Stroke, type Tile, type Wall, wallsOf } from './walls.ts';

/** Slack, by the sine of an angle, for what is exactly on the edge of what can be mixed: far less than an eye tells apart. */
const EDGE = 1e-6;

/**
 * All the light that a lamp can give, as a solid in CIE XYZ. Light adds (Grassmann's laws), so it is the sum of as many strokes from 0 as there
 * are emitters: a zonohedron. The brightest mixture of a chromaticity, the optimum of the linear programme "greatest Y, levels 0..1", is where
 * the ray of that chromaticity leaves the solid. Its walls depend on the lamp alone and are worked out once; a colour costs one look at each.
 */
export class ColourSolid {
  readonly #bundles: readonly Bundle[];
  /** Chromaticities in one line, or all the same, give nothing off these planes through 0. */
  readonly #planes: readonly Triple[];
  readonly #walls: readonly Wall[];
  /** Where the ray leaves the solid, and the levels of the bundles there. */
  readonly #point = new Float64Array(3);
  readonly #levels: Float64Array;

  constructor(emitters: readonly Emitter[]) {
    this.#bundles = bundlesOf(emitters);
    const lights = this.#bundles.map(({ light }) => light);
    this.#planes = planesOf(lights);
    this.#walls = wallsOf(lights, this.#planes);
    this.#levels = new Float64Array(lights.length);
  }

  /**
   * Brightest mixture of a chromaticity.
   * @param wanted its x and y, CIE 1931; y above 0
   * @param levels one for each emitter, written: 0..1
   * @returns whether it can be mixed; where not, `levels` is all zeros. Numbers go by arrays: every frame comes here, and a number that is
   *   handed over by itself may be put on the heap
   */
  brightest(wanted: Float64Array, levels: Float64Array): boolean {
    for (let i = 0; i < levels.length; i++) levels[i] = 0;
    const X = (wanted[0] as number) / (wanted[1] as number);
    const Z = (1 - (wanted[0] as number) - (wanted[1] as number)) / (wanted[1] as number);
    const slack = EDGE * Math.sqrt(X * X + 1 + Z * Z);
    for (let i = 0; i < this.#planes.length; i++) {
      const plane = this.#planes[i] as Triple;
      if (Math.abs(plane[0] * X + plane[1] + plane[2] * Z) > slack) return false;
    }
    let first: Wall | undefined;
    let far = 1;
    let towards = 0;
    for (let i = 0; i < this.#walls.length; i++) {
      const wall = this.#walls[i] as Wall;
      const { normal } = wall;
      const rise = normal[0] * X + normal[1] + normal[2] * Z;
      const away = rise > 0 ? wall.before : wall.behind;
      const speed = Math.abs(rise);
      // A wall through 0 bounds what can be mixed: beyond it there is nothing.
      if (away === 0 && speed > slack) return false;
      if (away === 0 || away * towards >= far * speed) continue;
      first = wall;
      far = away;
      towards = speed;
    }
    if (first === undefined) return false;
    const Y = far / towards;
    this.#point[0] = X * Y;
    this.#point[1] = Y;
    this.#point[2] = Z * Y;
    this.#stand(first);
    for (let k = 0; k < this.#bundles.length; k++) {
      const { members } = this.#bundles[k] as Bundle;
      for (let n = 0; n < members.length; n++) levels[members[n] as number] = this.#levels[k] as number;
    }
    return true;
  }

  /** Levels of the bundles for the point, which lies on this wall. */
  #stand({ normal, sides, tiles }: Wall): void {
    const point = this.#point;
    const side = along(normal, point) > 0 ? 1 : -1;
    const levels = this.#levels;
    for (let k = 0; k < levels.length; k++) levels[k] = sides[k] === side ? 1 : 0;
    let on: Tile | undefined;
    let margin = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < tiles.length && margin < 0; i++) {
      const tile = tiles[i] as Tile;
      let least = 1;
      for (let n = 0; n < tile.strokes.length; n++) {
        const level = levelAt(tile.strokes[n] as Stroke, side, point);
        least = Math.min(least, level, 1 - level);
      }
      if (least <= margin) continue;
      margin = least;
      on = tile;
    }
    if (on === undefined) return;
    for (let n = 0; n < on.full.length; n++) levels[on.full[n] as number] = 1;
    for (let n = 0; n < on.strokes.length; n++) {
      const stroke = on.strokes[n] as Stroke;
      levels[stroke.of] = Math.min(1, Math.max(0, levelAt(stroke, side, point)));
    }
  }
}

const along = (way: Triple, point: Float64Array): number =>
  way[0] * (point[0] as number) + way[1] * (point[1] as number) + way[2] * (point[2] as number);

const levelAt = ({ towards, before, behind }: Stroke, side: number, point: Float64Array): number =>
  along(towards, point) - (side > 0 ? before : behind);

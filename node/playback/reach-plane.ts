import { chromaticityAtPlace, type Place } from '../light/colour-plane.ts';
import { difference } from '../light/difference.ts';
import type { Gamut } from '../light/gamut.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import type { Rig, RigFixture } from '../rig/rig.ts';
import { mixesFromEmitters, SEEN } from './colours.ts';

/** What each unlike kind of lamp among some lights can mix, and of how many lights that is known. */
export interface Mixers {
  readonly gamuts: readonly Gamut[];
  readonly lights: number;
}

/** Only lamps that mix from several emitters are asked: a lamp of one colour has no choice, and what comes through filters and inks is not known by numbers. */
export function mixersOf(fixtures: Rig['fixtures']): Mixers {
  const colours = new LampColours();
  const own = fixtures.map((fixture) => gamutsOf(fixture, colours));
  return { gamuts: [...new Set(own.flat())], lights: own.filter(({ length }) => length > 0).length };
}

const gamutsOf = (fixture: RigFixture, colours: LampColours): Gamut[] =>
  fixture.lamps.filter(mixesFromEmitters).map(({ emitters }) => colours.of(fixture, emitters).gamut);

/** Which of the lamps reach a colour. */
export type Reached = 'all' | 'some' | 'none';

/** How far lamps are from a colour (CIEDE2000): the one that is furthest, and the one that is nearest. */
interface Off {
  readonly furthest: number;
  readonly nearest: number;
}

function offAt(place: Place, gamuts: readonly Gamut[]): Off {
  const [x, y] = chromaticityAtPlace(place);
  let [furthest, nearest] = [0, gamuts.length === 0 ? 0 : Number.POSITIVE_INFINITY];
  for (const gamut of gamuts) {
    const near = gamut.nearest(x, y);
    const off = near.exact ? 0 : difference([near.x, near.y, 1 - near.x - near.y], [x, y, 1 - x - y]);
    furthest = Math.max(furthest, off);
    nearest = Math.min(nearest, off);
  }
  return { furthest, nearest };
}

const reachedBy = ({ furthest, nearest }: Off): Reached => (furthest <= SEEN ? 'all' : nearest <= SEEN ? 'some' : 'none');

/** Which lamps reach the colour at a place of the plane: as notes have it. */
export const reachedAt = (place: Place, { gamuts }: Mixers): Reached => reachedBy(offAt(place, gamuts));

/** What lamps reach over the whole plane. Between the points that are asked it is bent straight, so that its edges are smooth in a picture. */
export class ReachPlane {
  readonly #columns: number;
  readonly #rows: number;
  readonly #furthest: Float32Array;
  readonly #nearest: Float32Array;

  constructor({ gamuts }: Mixers, columns: number, rows: number) {
    this.#columns = columns;
    this.#rows = rows;
    this.#furthest = new Float32Array(columns * rows);
    this.#nearest = new Float32Array(columns * rows);
    for (let i = 0; i < columns * rows; i++) {
      const off = offAt({ across: (i % columns) / (columns - 1), up: Math.floor(i / columns) / (rows - 1) }, gamuts);
      this.#furthest[i] = off.furthest;
      this.#nearest[i] = off.nearest;
    }
  }

  at({ across, up }: Place): Reached {
    const [x, y] = [across * (this.#columns - 1), up * (this.#rows - 1)];
    return reachedBy({ furthest: this.#between(this.#furthest, x, y), nearest: this.#between(this.#nearest, x, y) });
  }

  #between(of: Float32Array, x: number, y: number): number {
    const left = Math.min(Math.floor(x), this.#columns - 2);
    const low = Math.min(Math.floor(y), this.#rows - 2);
    const first = low * this.#columns + left;
    const [along, high] = [x - left, y - low];
    const below = (of[first] as number) * (1 - along) + (of[first + 1] as number) * along;
    const above = (of[first + this.#columns] as number) * (1 - along) + (of[first + this.#columns + 1] as number) * along;
    return below * (1 - high) + above * high;
  }
}

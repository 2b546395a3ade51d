import { dealt } from '../plan/aim/deal.ts';
import { leastTravel, type Way, type Ways, waysTo } from '../plan/aim/ways.ts';
import { type Axis, type Head, headOf } from '../rig/head.ts';
import { isLaser } from '../rig/is-laser.ts';
import type { Point } from '../rig/pose.ts';
import type { Lamp, RigFixture } from '../rig/rig.ts';
import { toldAngle } from '../rig/turning.ts';
import type { Aim, Angles, Landmark, Show } from '../show/document.ts';
import type { CellValues } from './stroke.ts';

/** Which way each head was chosen to look, by name. */
export type Choices = Readonly<Record<string, number>>;

/** Lamps that look at a point of the room and can do so in several ways: which of them is chosen when it starts. Plain data. */
export interface Aimed {
  /** By which the choice is kept: the fixture, and which part of it. */
  readonly name: string;
  readonly head: Head;
  readonly ways: Ways['ways'];
}

/** A lamp that looks about by two axes, with its fixture. */
export interface Turning {
  readonly fixture: RigFixture;
  readonly lamp: Lamp;
}

/** What it looks at: angles, or ways to a point of the room. */
export interface Looking extends Turning {
  readonly angles?: Angles;
  readonly at?: Point;
  readonly aimed?: Aimed;
  /** Degrees by which it misses. */
  readonly off: number;
}

/** Whether an aim is at a place in the room. */
export const isInRoom = (aim: Aim): aim is Exclude<Aim, Angles> => !('pan' in aim);

/** Degrees by which a beam may miss before anybody sees it: a tenth of a metre ten metres away. Common practice, no source. */
export const MISSED = 0.6;

/** Turns aims in the room into ways to get there. What is worked out for a head and a point serves every look. */
export class Aims {
  readonly #landmarks: ReadonlyMap<string, Landmark>;
  readonly #names: ReadonlyMap<string, string>;
  readonly #heads = new Map<Lamp, Head | undefined>();
  readonly #known = new Map<Head, Map<string, Ways>>();

  constructor({ landmarks, fixtures }: Pick<Show, 'landmarks' | 'fixtures'>) {
    this.#landmarks = new Map(landmarks.map((one) => [one.id, one]));
    this.#names = new Map(fixtures.map(({ id, name }) => [id, name]));
  }

  /** A head that has a place in the room. */
  headOf(fixture: RigFixture, lamp: Lamp): Head | undefined {
    if (!this.#heads.has(lamp)) this.#heads.set(lamp, headOf(fixture, lamp));
    return this.#heads.get(lamp);
  }

  /** What each of some lamps that turn looks at; one that nobody can tell where to look is left out. */
  of(aim: Aim, lamps: readonly Turning[]): Looking[] {
    if (!isInRoom(aim)) return lamps.map((one) => ({ ...one, angles: aim, off: 0 }));
    const placed = lamps.flatMap((one) => {
      const head = this.headOf(one.fixture, one.lamp);
      return head === undefined ? [] : [{ ...one, head }];
    });
    const poses = placed.flatMap(({ fixture: { pose } }) => pose ?? []);
    const landmark = 'landmark' in aim ? this.#landmarks.get(aim.landmark) : undefined;
    const points = 'point' in aim ? poses.map(() => aim.point) : landmark === undefined ? [] : dealt(landmark, aim.deal, poses);
    const { angles } = aim;
    const looking = new Map<Lamp, Looking>();
    for (const [i, { fixture, lamp, head }] of placed.entries()) {
      const at = points[i];
      if (at === undefined) continue;
      const { ways, off } = this.#waysTo(head, at);
      const name = lamp.part === 0 ? fixture.id : `${fixture.id}:${lamp.part}`;
      looking.set(lamp, { fixture, lamp, at, aimed: { name, head, ways }, off });
    }
    return lamps.flatMap((one): readonly Looking[] => {
      const found = looking.get(one.lamp);
      if (found !== undefined) return [found];
      return angles === undefined ? [] : [{ ...one, angles, off: 0 }];
    });
  }

  /** What guests see otherwise than was asked, in words. */
  notes(aim: Aim, lamps: readonly Turning[]): string[] {
    if (!isInRoom(aim)) return [];
    const what = 'landmark' in aim ? (this.#landmarks.get(aim.landmark)?.name ?? aim.landmark) : 'that point';
    const looking = new Map(this.of(aim, lamps).map((one) => [one.lamp, one]));
    return lamps.flatMap(({ fixture, lamp }) => {
      const one = looking.get(lamp);
      const name = this.#names.get(fixture.id) ?? fixture.id;
      const why = isLaser(fixture) ? 'is a laser, which is not aimed from here' : 'has no place in the room';
      if (one === undefined) return [`${name}: ${why}, so it cannot look at ${what}; it stays where it is`];
      if (one.aimed === undefined) return [`${name}: ${why}; it looks by its angles`];
      return one.off > MISSED ? [`${name}: cannot turn to ${what}; it misses by ${Math.round(one.off)} degrees`] : [];
    });
  }

  /** In the order of how near they are to the middle of what the axes can. */
  #waysTo(head: Head, point: Point): Ways {
    const known = this.#known.get(head) ?? new Map<string, Ways>();
    this.#known.set(head, known);
    const key = `${point.x} ${point.y} ${point.z}`;
    const found = known.get(key) ?? waysTo(head, point);
    const middle = { outer: middleOf(head.outer), inner: middleOf(head.inner) };
    const first = leastTravel(head, found.ways, middle);
    const ways: Ways = { ...found, ways: [first, ...found.ways.filter((one) => one !== first)] };
    known.set(key, ways);
    return ways;
  }
}

const middleOf = (axis: Axis): number => toldAngle(axis, (axis.least + axis.most) / 2);

/** The way that was chosen before; where it is none any more, the one nearest the middle. */
export const wayBy = ({ ways }: Aimed, choice: number | undefined): Way => ways.find(({ number }) => number === choice) ?? ways[0];

/** Choices by name, for where heads stand in a frame: the way of least travel. */
export function choicesFor(all: readonly Aimed[], angleAt: (cell: number) => number): Choices {
  return Object.fromEntries(
    all.map(({ name, head, ways }) => {
      const stands = { outer: angleAt(head.outer.cell), inner: angleAt(head.inner.cell) };
      return [name, leastTravel(head, ways, stands).number];
    }),
  );
}

/** Values in which heads look the ways that were chosen. */
export function lookingBy(
  { cells, values }: Pick<CellValues, 'cells' | 'values'>,
  aims: readonly Aimed[],
  choices: Choices,
): Float64Array {
  const places = new Map(Array.from(cells, (cell, place) => [cell, place]));
  const chosen = values.slice();
  for (const aimed of aims) {
    const way = wayBy(aimed, choices[aimed.name]);
    const [outer, inner] = [places.get(aimed.head.outer.cell), places.get(aimed.head.inner.cell)];
    if (outer !== undefined) chosen[outer] = way.outer;
    if (inner !== undefined) chosen[inner] = way.inner;
  }
  return chosen;
}

import { type ChannelFunction, MOST_TABLES } from '../fixture-type.ts';
import type { RawFunction } from './channels.ts';
import type { Notes } from './notes.ts';
import { float } from './values.ts';
import { attr, childrenOf, type Element, find } from './xml.ts';

export type Curve = ChannelFunction['curve'];

/** Shares in a table made of a DMX profile, its ends among them: one for each value of a byte, and one more. */
const POINTS = 257;
const MOST_POINTS = 1000;

interface Point {
  readonly at: number;
  readonly c: readonly number[];
}

/** Tables of a file, each once, and the place among them, or the law, that a profile comes to by its name. */
export interface Curves {
  readonly curves: number[][];
  readonly curveOf: (profile: string) => Curve;
  readonly curveOfCourse: (course: Course, name: string) => Curve;
}

/**
 * Output by DMX percentage (table 24) as tables of shares, made when a profile is asked for; linear where it does not rise. And what sets with
 * physical values of their own come to (table 61).
 */
export function curvesIn(fixtureType: Element, notes: Notes): Curves {
  const profiles = new Map(
    childrenOf(find(fixtureType, 'PhysicalDescriptions', 'DMXProfiles'), 'DMXProfile').map((one) => [attr(one, 'Name') ?? '', one]),
  );
  const known = new Map<string, Curve>();
  const curves: number[][] = [];
  const placeOf = (key: string, name: string, table: number[] | undefined): Curve => {
    const before = known.get(key);
    if (before !== undefined) return before;
    if (table !== undefined && curves.length >= MOST_TABLES)
      notes.add(`The file has more than ${MOST_TABLES} curves that are no straight line; "${name}" is taken as one`);
    const curve = table === undefined || curves.length >= MOST_TABLES ? 'linear' : curves.push(table) - 1;
    known.set(key, curve);
    return curve;
  };
  return {
    curves,
    curveOf: (profile) =>
      known.get(`profile ${profile}`) ?? placeOf(`profile ${profile}`, profile, tableOf(profiles.get(profile), profile, notes)),
    curveOfCourse: (course, name) => placeOf(`sets ${course.corners.join(' ')}`, name, courseTable(course)),
  };
}

/** How far a course must be from a straight line to be heard of: less is the last step at either end, which many files name. */
const LEAST_BEND = 1 / 64;

/** How a function runs: its physical ends, and by shares of its values and of the way between those ends the corners of its line. */
export interface Course {
  readonly ends: readonly [number, number];
  readonly corners: readonly (readonly [at: number, share: number])[];
}

const STRAIGHT: Course['corners'] = [
  [0, 0],
  [1, 1],
];

/**
 * The {@link courseOf} a function by its sets. Ends that the function itself gives must be the same, unless they are the 0 to 1 that stands
 * where nobody has filled anything in.
 */
export function courseBySets(one: RawFunction): Course | undefined {
  const [low, high] = [float(attr(one.element, 'PhysicalFrom')) ?? 0, float(attr(one.element, 'PhysicalTo')) ?? 1];
  const course = courseOf(one);
  const isTold = (low === 0 && high === 1) || (course?.ends[0] === low && course.ends[1] === high);
  return isTold ? course : undefined;
}

/**
 * The course between these values by sets that have physical values of their own (table 61), the first and the last at least, if it does not
 * turn back; of sets that are all one value each, which may be no more than marks on the way, it is the straight line.
 */
export function courseOf({ from, to, sets }: Pick<RawFunction, 'from' | 'to' | 'sets'>): Course | undefined {
  const told = sets.flatMap((one) => {
    const [a, b] = one.physical;
    return a === undefined || b === undefined ? [] : [[one.from, a] as const, [one.to, b] as const];
  });
  const [first, last] = [told[0]?.[1], told.at(-1)?.[1]];
  if (first === undefined || last === undefined || first === last) return undefined;
  if (from === to || told[0]?.[0] !== from || told.at(-1)?.[0] !== to) return undefined;
  const areMarks = sets.every(({ physical: [a, b] }) => a !== undefined && a === b);
  const corners = told.map(([value, physical]) => [(value - from) / (to - from), (physical - first) / (last - first)] as const);
  const rises = corners.every(([, share], i) => i === 0 || share >= (corners[i - 1] as (typeof corners)[number])[1]);
  return rises ? { ends: [first, last], corners: areMarks ? STRAIGHT : corners } : undefined;
}

/** Undefined for what is close to a straight line. */
function courseTable({ corners }: Course): number[] | undefined {
  const table = Array.from({ length: POINTS }, (_, i) => rounded(shareAt(i / (POINTS - 1), corners)));
  return table.every((share, i) => Math.abs(share - i / (POINTS - 1)) < LEAST_BEND) ? undefined : table;
}

function shareAt(at: number, corners: Course['corners']): number {
  const after = corners.findIndex(([corner]) => corner >= at);
  const [end, high] = corners[after] as Course['corners'][number];
  const [begin, low] = corners[Math.max(0, after - 1)] as Course['corners'][number];
  return end === begin ? high : low + ((high - low) * (at - begin)) / (end - begin);
}

/** Undefined for a straight line. */
function tableOf(profile: Element | undefined, name: string, notes: Notes): number[] | undefined {
  const points = childrenOf(profile, 'Point')
    .slice(0, MOST_POINTS)
    .map((one) => ({ at: float(attr(one, 'DMXPercentage')) ?? 0, c: [0, 1, 2, 3].map((i) => float(attr(one, `CFC${i}`)) ?? 0) }))
    .sort((a, b) => a.at - b.at);
  const most = Math.max(0, ...points.map(({ at }) => at));
  // Some write percentages as shares. Where all points lie within the first percent, or there is but one, at 0, the curve itself tells which.
  const scales = most > 1 ? [100] : most > 0 ? [1, 100] : [100, 1];
  const shares = scales.map((whole) => risingShares(points, whole)).find((one) => one !== undefined);
  if (shares === undefined) notes.add(`DMX profile "${name}" is not a rising curve from 0 to full; linear is taken`);
  return shares?.every((one, i) => Math.abs(one - i / (POINTS - 1)) < 1e-6) ? undefined : shares;
}

/** What points come to where a whole is that much; undefined where that does not rise within 0 and full. */
function risingShares(points: readonly Point[], whole: number): number[] | undefined {
  const table = Array.from({ length: POINTS }, (_, i) => outputAt((i * whole) / (POINTS - 1), points));
  // Some write outputs as percentages, some as shares.
  const full = Math.max(...table) > 1.5 ? 100 : 1;
  const shares = table.map((one) => rounded(Math.min(1, Math.max(0, one / full))));
  const rises = shares.every((one, i) => i === 0 || one >= (shares[i - 1] as number) - 1e-9);
  const isWithin = table.every((one) => one / full >= -0.001 && one / full <= 1.001);
  const last = shares.at(-1) as number;
  // A share of 1 % at full is a percentage that was misread.
  return rises && isWithin && last - (shares[0] as number) >= (whole === 1 ? 0.5 : 0.01) ? shares : undefined;
}

function outputAt(percent: number, points: readonly Point[]): number {
  const point = points.findLast(({ at }) => at <= percent);
  if (point === undefined) return 0;
  const d = percent - point.at;
  return point.c.reduceRight((sum, one) => sum * d + one, 0);
}

/** Finer than a step of sixteen bits, and short to write down. */
const rounded = (share: number): number => Math.round(share * 1e6) / 1e6;

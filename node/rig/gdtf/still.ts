import type { RawChannel, RawFunction } from './channels.ts';
import { float, greatest } from './values.ts';
import { attr } from './xml.ts';

/**
 * Where a channel stands still which by default turns without end, or lets a second shutter flash: where the physical value of that is 0 (annex A: a
 * speed with its direction, or a frequency). Undefined where it stands still anyhow, or where nothing in the file tells: a turn that goes one way
 * only, or ends that nobody has filled in.
 */
export function stillAt(channel: RawChannel): number | undefined {
  const { initial: raw, functions, width } = channel;
  const turns = /rotate$/i.test(raw.attribute);
  if (!turns && !/strobe(?!duration|mode)/i.test(raw.attribute)) return undefined;
  const standing = raw.default ?? raw.from;
  const places = functions.filter((one) => one.attribute === raw.attribute).flatMap(stopsOf);
  const step = greatest(width) / 255;
  if (places.some(({ from, to }) => standing >= from - step && standing <= to + step)) return undefined;
  const [place] = places;
  if (place !== undefined) return Math.floor((place.from + place.to + 1) / 2);
  const zero = zeroOf(raw, turns);
  return zero === undefined || Math.abs(standing - zero) <= step ? undefined : zero;
}

/** Stretches of a function in which nothing turns. */
function stopsOf({ element, from, to, sets }: RawFunction): { readonly from: number; readonly to: number }[] {
  if (isNothing(float(attr(element, 'PhysicalFrom')), float(attr(element, 'PhysicalTo')))) return [{ from, to }];
  return sets.filter(({ name = '', physical: [a, b] }) => /^stop/i.test(name.trim()) || isNothing(a, b));
}

const isNothing = (a: number | undefined, b: number | undefined): boolean => a === 0 && b === 0;

/** Where a function that runs through has 0: of a turn between its two directions, of a flash at an end that others of its values tell of. */
function zeroOf({ element, from, to }: RawFunction, turns: boolean): number | undefined {
  const [a, b] = [float(attr(element, 'PhysicalFrom')) ?? 0, float(attr(element, 'PhysicalTo')) ?? 1];
  const told = turns ? a * b < 0 : Math.min(a, b) === 0 && Math.max(a, b) > 1;
  return told ? Math.round(from + ((to - from) * a) / (a - b)) : undefined;
}

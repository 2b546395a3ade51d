import { z } from 'zod';

/**
 * Where a thing stands among its kind: keys in the order of their characters, with room between any two of them, so that one thing can
 * be moved without a word about the others. Read as the digits behind a point, in base 36.
 */
export const orderKey = z
  .string()
  .max(256)
  .regex(/^[0-9a-z]*[1-9a-z]$/, { error: 'must be lower-case letters and digits, the last of them no 0' });

export interface Placed {
  readonly id: string;
  readonly order?: string | undefined;
}

/** By key, and where keys are equal or missing by id. */
export const byPlace = (a: Placed, b: Placed): number => compare(a.order ?? '', b.order ?? '') || compare(a.id, b.id);

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * The list in its order, every thing with a key. Those that have none stand behind the one before them in the list: a list that was
 * written without keys keeps its order.
 */
export function inOrder<T extends Placed>(list: readonly T[]): (T & { order: string })[] {
  const seated: (T & { order: string })[] = [];
  let waiting: T[] = [];
  let last: string | undefined;
  const seat = (before: string | undefined): void => {
    const keys = spread(last, before, waiting.length);
    // The key stands where the schema has it, so that a document is the same bytes when it is written again.
    for (const [i, { id, ...rest }] of waiting.entries()) seated.push({ id, order: keys[i], ...rest } as T & { order: string });
    last = keys.at(-1) ?? last;
    waiting = [];
  };
  for (const one of list) {
    if (one.order === undefined) {
      waiting.push(one);
      continue;
    }
    seat(one.order > (last ?? '') ? one.order : undefined);
    seated.push(one as T & { order: string });
    last = one.order;
  }
  seat(undefined);
  return seated.sort(byPlace);
}

/** Keys for `count` things between two that are there. */
function spread(after: string | undefined, before: string | undefined, count: number): string[] {
  if (count === 0) return [];
  if (before !== undefined) {
    const half = count >> 1;
    const middle = keyBetween(after, before);
    return [...spread(after, middle, half), middle, ...spread(middle, before, count - 1 - half)];
  }
  const keys: string[] = [];
  for (let last = after; keys.length < count; keys.push(last)) last = keyBetween(last, undefined);
  return keys;
}

const DIGITS = '0123456789abcdefghijklmnopqrstuvwxyz';
/** Digits within which keys count up and down at an open end: they stay short for some twenty thousand things either way. */
const WIDTH = 3;

/**
 * A key between two. An end that is absent is open.
 * @param after smaller than `before`
 */
export function keyBetween(after: string | undefined, before: string | undefined): string {
  if (before !== undefined) {
    const down = after === undefined ? leading(before) - (before.length > WIDTH ? 0 : 1) : 0;
    return down > 0 ? keyOf(down) : middle(after ?? '', before);
  }
  if (after === undefined) return 'i';
  const up = leading(after) + 1;
  return up < DIGITS.length ** WIDTH ? keyOf(up) : middle(after, undefined);
}

const leading = (key: string): number => Number.parseInt(key.slice(0, WIDTH).padEnd(WIDTH, '0'), DIGITS.length);

const keyOf = (count: number): string => count.toString(DIGITS.length).padStart(WIDTH, '0').replace(/0+$/, '');

/** The shortest key between two; `before` absent: up to the end of all keys. */
function middle(after: string, before: string | undefined): string {
  for (let i = 0; ; i++) {
    const low = DIGITS.indexOf(after[i] ?? '0');
    const high = before === undefined ? DIGITS.length : DIGITS.indexOf(before[i] ?? '0');
    if (low === high) continue;
    const head = (before ?? after).slice(0, i).padEnd(i, '0');
    if (high - low > 1) return head + DIGITS[(low + high) >> 1];
    // Neighbours: either what comes behind `before` leaves room below it, or the key lies behind `after`.
    if (before !== undefined && before.length > i + 1) return head + DIGITS[high];
    return head + DIGITS[low] + middle(after.slice(i + 1), undefined);
  }
}

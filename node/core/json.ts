import type { Problem } from './errors.ts';
import { pathText } from './explain.ts';

/**
 * Lists and objects within one another in anything that comes in. What a show says lies a dozen steps down; whoever walks through a
 * document (schemas, comparisons, messages between threads) does so by recursion, and a document of strangers may be nested deeper
 * than any call stack.
 */
export const DEEPEST = 32;

export const TOO_DEEP = 'This is nested too deep';

/** More of a place than anybody reads. */
const LONGEST_PLACE = 80;

/** Where a value out of JSON is nested deeper than anything that makes sense here; undefined where it is not. */
export function depthProblem(json: unknown): Problem | undefined {
  const path = wayDown(json, DEEPEST);
  if (path === undefined) return undefined;
  const place = pathText(path);
  return {
    path: place.length > LONGEST_PLACE ? `${place.slice(0, LONGEST_PLACE - 3)}...` : place,
    message: `must have at most ${DEEPEST} lists and objects within one another`,
  };
}

function wayDown(value: unknown, left: number): PropertyKey[] | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  if (left === 0) return [];
  const isList = Array.isArray(value);
  for (const [key, inner] of Object.entries(value)) {
    const way = wayDown(inner, left - 1);
    if (way !== undefined) return [isList ? Number(key) : key, ...way];
  }
  return undefined;
}

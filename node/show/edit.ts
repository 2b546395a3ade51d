import type { z } from 'zod';
import { InputError } from '../core/errors.ts';
import { readAs } from '../core/explain.ts';
import { type AskedChange, type Change, invert, isSame, type Thing } from './change.ts';
import { Desk } from './desk.ts';
import { kinds, ofShow, type Show } from './document.ts';
import type { Kind } from './things.ts';

/** Something has come between what the editor saw and the edit. */
export interface Clash {
  readonly kind: Kind;
  readonly id: string;
  /** Absent: the thing as a whole. */
  readonly field?: string;
  /** What the editor saw, and what stands there; absent: nothing. */
  readonly was?: unknown;
  readonly found?: unknown;
}

export interface Accepted {
  /** Everything that was not changed is the same objects; with no effect, the very same show. */
  readonly show: Show;
  /** What has really changed, no more than once a field, and the way back. */
  readonly changes: readonly Change[];
  readonly inverse: readonly Change[];
  readonly touched: readonly { readonly kind: Kind; readonly id: string }[];
}

export interface Refused {
  readonly clashes: readonly Clash[];
}

const MISTAKES = 'The edit cannot be made';

/**
 * Applies an edit to a draft, wholly or not at all. Each change must find what its editor saw, or find done what it wants done. The
 * inverse of an edit is an edit like any other; several edits in one are as good as one after the other.
 * @param isForced whoever asks has seen what stands there now, and wants it all the same; a thing that is gone stays gone
 * @throws InputError for an edit that would spoil the shape of the show.
 */
export function applyEdit(show: Show, asked: readonly AskedChange[], isForced = false): Accepted | Refused {
  const desk = new Desk(show);
  const clashes = asked.flatMap((change) => carryOut(change, desk, isForced) ?? []);
  if (clashes.length > 0) return { clashes };
  for (const { path, most, size } of desk.sizes())
    if (size > most) throw new InputError(MISTAKES, [{ path, message: `must have at most ${most} entries` }]);
  const { show: after, changes } = desk.done();
  const touched = new Map(changes.map(({ kind, id }) => [`${kind}:${id}`, { kind, id }]));
  return { show: after, changes, inverse: invert(changes), touched: [...touched.values()] };
}

function carryOut(change: AskedChange, desk: Desk, isForced: boolean): Clash | undefined {
  const { kind, id } = change;
  const found = desk.get(kind, id);
  const clash = (more: Omit<Clash, 'kind' | 'id'>): Clash => ({ kind, id, ...more });
  switch (change.do) {
    case 'add': {
      if (change.now.id !== id) throw mistake(kind, id, 'id', `must be "${id}"`);
      const order = kind === 'fixtureType' ? {} : { order: found?.order ?? desk.keyAtEnd(kind) };
      const now = shaped(kind, { ...order, ...change.now });
      if (found === undefined || isForced) desk.put(kind, now);
      else if (!isSame(found, now)) return clash({ found });
      return undefined;
    }
    case 'drop':
      if (found === undefined) return undefined;
      if (!isForced && !isSame(found, change.was)) return clash({ was: change.was, found });
      desk.take(kind, id);
      return undefined;
    case 'set': {
      const { field, was, now } = change;
      mustBeKnown(change);
      const seen = 'was' in change ? { was } : {};
      if (found === undefined) return clash({ field, ...seen });
      const { [field]: stands, ...others } = found;
      const next = shaped(kind, { id, ...others, ...(now !== undefined && { [field]: now }) });
      if (isSame(stands, next[field])) return undefined;
      if (!isForced && !isSame(stands, was)) return clash({ field, ...seen, ...(stands !== undefined && { found: stands }) });
      desk.put(kind, next);
      return undefined;
    }
    case 'move': {
      const { after, was } = change;
      if (found === undefined) return clash({ field: 'order', was });
      if (found.order !== was) return clash({ field: 'order', was, found: found.order });
      if (after === id) return undefined;
      if (after !== null && desk.get(kind, after) === undefined) return { kind, id: after };
      desk.put(kind, shaped(kind, { ...found, order: desk.keyAfter(kind, after, found) }));
      return undefined;
    }
  }
}

const schemaOf = (kind: Kind) => (kind === 'show' ? ofShow : kinds[kind].one);

const mistake = (kind: Kind, id: string, field: string, message: string): InputError =>
  new InputError(MISTAKES, [{ path: `${kind}:${id}.${field}`, message }]);

/** @throws InputError when it has not the shape of its kind. */
const shaped = (kind: Kind, thing: Thing): Thing => readAs(schemaOf(kind), thing, MISTAKES, `${kind}:${thing.id}`) as Thing;

function mustBeKnown({ kind, id, field, now }: Extract<AskedChange, { do: 'set' }>): void {
  const fields: Readonly<Record<string, z.ZodType>> = schemaOf(kind).shape;
  if (!Object.hasOwn(fields, field))
    throw mistake(kind, id, field, `is not known here; known are ${Object.keys(fields).join(', ')}`);
  if (field === 'id') throw mistake(kind, id, field, 'stays as it is for life');
  if (field === 'order' && now === undefined) throw mistake(kind, id, field, 'cannot be left out');
}

import { z } from 'zod';
import { id } from '../rig/fixture-type.ts';
import { orderKey, type Placed } from './order.ts';
import { type Kind, type ListKind, listKinds } from './things.ts';

/** A thing of a show, whatever its kind: fields by name. */
export type Thing = Placed & Readonly<Record<string, unknown>>;

/**
 * A change of one thing, named by kind and id. It says what stood there before: that is the check for conflicts, the way back and the
 * history in one. `was` or `now` left out: the field is absent, which is not the same as null. A list in a field is replaced whole.
 */
export type Change =
  | { readonly do: 'add'; readonly kind: ListKind; readonly id: string; readonly now: Thing }
  | {
      readonly do: 'set';
      readonly kind: Kind;
      readonly id: string;
      readonly field: string;
      readonly was?: unknown;
      readonly now?: unknown;
    }
  | { readonly do: 'drop'; readonly kind: ListKind; readonly id: string; readonly was: Thing };

const ofList = { kind: z.enum(listKinds), id };
const movable = listKinds.filter((kind) => kind !== 'fixtureType') as [ListKind, ...ListKind[]];
const thing = z.looseObject({ id, order: orderKey.optional() });

/**
 * What an editor may ask for: changes, and `move`, which puts a thing right behind another one of its kind (null: before all). Order
 * keys are made where the edit is accepted, so that no two editors make the same; `was` is the key that the editor saw.
 */
export const askedChange = z.discriminatedUnion('do', [
  z.strictObject({ do: z.literal('add'), ...ofList, now: thing }),
  z.strictObject({
    do: z.literal('set'),
    kind: z.enum([...listKinds, 'show']),
    id,
    field: z.string().max(60),
    was: z.unknown().optional(),
    now: z.unknown().optional(),
  }),
  z.strictObject({ do: z.literal('drop'), ...ofList, was: thing }),
  z.strictObject({ do: z.literal('move'), kind: z.enum(movable), id, was: orderKey, after: z.union([id, z.null()]) }),
]);
export type AskedChange = z.infer<typeof askedChange>;

/** The way back: made of the same parts, in reverse. What is inverted twice is itself. */
export const invert = (changes: readonly Change[]): Change[] => [...changes].reverse().map(inverse);

function inverse(change: Change): Change {
  const { kind, id } = change;
  switch (change.do) {
    case 'add':
      return { do: 'drop', kind: change.kind, id, was: change.now };
    case 'drop':
      return { do: 'add', kind: change.kind, id, now: change.was };
    case 'set': {
      const back = { ...('now' in change && { was: change.now }), ...('was' in change && { now: change.was }) };
      return { do: 'set', kind, id, field: change.field, ...back };
    }
  }
}

/** What it takes to make one thing of another; either may be absent. */
export function difference(kind: Kind, id: string, before: Thing | undefined, after: Thing | undefined): Change[] {
  if (before === undefined || after === undefined) {
    // The show itself is always there.
    if (kind === 'show') return [];
    if (after !== undefined) return [{ do: 'add', kind, id, now: after }];
    return before === undefined ? [] : [{ do: 'drop', kind, id, was: before }];
  }
  const fields = [...new Set([...Object.keys(before), ...Object.keys(after)])];
  return fields.flatMap((field): Change[] => {
    if (isSame(before[field], after[field])) return [];
    const was = Object.hasOwn(before, field) ? { was: before[field] } : {};
    const now = Object.hasOwn(after, field) ? { now: after[field] } : {};
    return [{ do: 'set', kind, id, field, ...was, ...now }];
  });
}

/** Whether two values out of JSON say the same, in whatever order their fields stand. */
export function isSame(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const keys = Object.keys(a);
  return (
    keys.length === Object.keys(b).length &&
    keys.every((key) => Object.hasOwn(b, key) && isSame((a as Thing)[key], (b as Thing)[key]))
  );
}

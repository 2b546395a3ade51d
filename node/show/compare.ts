import { type Change, difference, type Thing } from './change.ts';
import type { Show } from './document.ts';
import type { Placed } from './order.ts';
import { type Kind, listKinds, listOf, topOf } from './things.ts';

/** What it takes to make one state of a show of another. What stands in the same place in both is not looked at field by field. */
export function changesBetween(before: Show, after: Show): Change[] {
  const top = difference('show', before.id, topOf(before) as Thing, topOf(after) as Thing);
  return [...top, ...listKinds.flatMap((kind) => changesOf(kind, listOf(before, kind), listOf(after, kind)))];
}

function changesOf(kind: Kind, before: readonly Placed[], after: readonly Placed[]): Change[] {
  if (before === after) return [];
  const [old, young] = [before, after].map((list) => new Map(list.map((one) => [one.id, one])));
  const ids = new Set([...(old?.keys() ?? []), ...(young?.keys() ?? [])]);
  return [...ids].flatMap((id) => {
    const [was, now] = [old?.get(id), young?.get(id)];
    return was === now ? [] : difference(kind, id, was as Thing | undefined, now as Thing | undefined);
  });
}

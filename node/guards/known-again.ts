/**
 * Keys of what a guard counts in a rig, then those of what was in the rig before and is in this one no more: whatever is taken out and put back, or
 * is in another show for a while, is not forgiven by that.
 * @param counts whether so much is known of one of them, by its place, that it would be forgiven by being forgotten
 */
export function keysWith(
  own: readonly string[],
  before: { readonly keys: readonly string[] } | undefined,
  counts: (place: number) => boolean,
): string[] {
  const here = new Set(own);
  return [...own, ...(before?.keys ?? []).filter((key, place) => !here.has(key) && counts(place))];
}

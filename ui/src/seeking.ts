/** While lost the node is looked for soon at first, then ever more rarely: a hundred lost phones must not drown it. Milliseconds. */
const FIRST = 500;
const LAST = 3000;
/** A node that comes back is not asked by all phones in the same moment. */
const SPREAD = 0.25;

/** How long to wait before the next look. @param looks how many there were in vain; @param chance uniform in 0..1 */
export const pauseAfter = (looks: number, chance: number): number =>
  Math.min(LAST, FIRST * 2 ** Math.min(looks, 10)) * (1 + SPREAD * (2 * chance - 1));

/** The code in a link that a phone's camera has opened (`#pair=ABCD-EFGH`); '' where there is none or it is none. */
export function codeIn(hash: string): string {
  const text = /^#pair=(.+)$/.exec(hash)?.[1] ?? '';
  try {
    return decodeURIComponent(text).slice(0, 12);
  } catch {
    return '';
  }
}

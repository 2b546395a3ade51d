/**
 * How light, or whatever a function gives, follows the value between its ends: as the value, as its square, as an S, or by a table of
 * shares at even distances. Rising throughout.
 */
export type Curve = 'linear' | 'square' | 's' | readonly number[];

/**
 * The share of a channel's values, 0..1, at which a lamp with this curve gives `wanted` of its light: the curve read backwards.
 * Square: light goes with the square of the value (IESNA Lighting Handbook, 9th edition). S: 3t² - 2t³.
 */
export function againstCurve(curve: Curve, wanted: number): number {
  if (curve === 'linear') return wanted;
  if (curve === 'square') return Math.sqrt(wanted);
  // The middle root of the cubic, by its trigonometric form.
  if (curve === 's') return 0.5 - Math.sin(Math.asin(1 - 2 * wanted) / 3);
  return againstTable(curve, wanted);
}

/** The curve itself: how much of its light a lamp gives at a share of its values. */
export function alongCurve(curve: Curve, share: number): number {
  if (curve === 'linear') return share;
  if (curve === 'square') return share * share;
  if (curve === 's') return share * share * (3 - 2 * share);
  const at = share * (curve.length - 1);
  const before = Math.min(curve.length - 2, Math.floor(at));
  const from = curve[before] as number;
  return from + ((curve[before + 1] as number) - from) * (at - before);
}

function againstTable(table: readonly number[], wanted: number): number {
  const last = table.length - 1;
  // Nothing of it is the very beginning, and not the end of what gives nothing.
  if (wanted <= (table[0] as number)) return 0;
  for (let i = 1; i <= last; i++) {
    const [from, to] = [table[i - 1] as number, table[i] as number];
    if (to >= wanted && to > from) return (i - 1 + Math.max(0, wanted - from) / (to - from)) / last;
  }
  return 1;
}

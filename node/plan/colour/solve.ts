/**
 * From a wanted colour to levels of the emitters of a lamp. Light adds: XYZ of a mixture is the sum of level times XYZ of its emitters
 * (Grassmann's laws). For a chromaticity inside the gamut the levels sought are those of the greatest luminance: a linear programme with two
 * equations and bounds 0..1, whose optimum has at most two levels strictly between the bounds.
 */

/** CIE 1931 XYZ of one emitter at full; Y is its luminous flux in any unit that all emitters of a lamp share. */
export interface Emitter {
  readonly X: number;
  readonly Y: number;
  readonly Z: number;
}

/** From chromaticity and flux. `y` must be above 0. */
export const emitterAt = (x: number, y: number, flux: number): Emitter => ({
  X: (x / y) * flux,
  Y: flux,
  Z: ((1 - x - y) / y) * flux,
});

/** Slack for what is exactly on the edge of a gamut: rounding of document colours is larger. */
const EDGE = 1e-9;

/**
 * Brightest mixture of a chromaticity.
 * @param emitters at most 8
 * @param x,y wanted chromaticity, CIE 1931; y above 0
 * @param levels one for each emitter, written: 0..1
 * @returns the luminance (in the emitters' unit of Y), or 0 where the chromaticity cannot be mixed; then `levels` is all zeros
 */
export function brightest(emitters: readonly Emitter[], x: number, y: number, levels: Float64Array): number {
  const n = emitters.length;
  levels.fill(0);
  let best = 0;
  let bestMask = 0;
  let bestI = -1;
  let bestJ = -1;
  let bestA = 0;
  let bestB = 0;
  // How far an emitter pulls the mixture off the wanted chromaticity; the sums of both must vanish.
  const p = pulls;
  const q = pulls2;
  for (let k = 0; k < n; k++) {
    const { X, Y, Z } = emitters[k] as Emitter;
    p[k] = X - (x / y) * Y;
    q[k] = Z - ((1 - x - y) / y) * Y;
  }
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const [pi, pj, qi, qj] = [p[i] as number, p[j] as number, q[i] as number, q[j] as number];
      const determinant = pi * qj - pj * qi;
      if (determinant === 0) continue;
      // Every other emitter is out or full: all ways of it, as bits over the places other than i and j.
      for (let mask = 0; mask < 1 << n; mask++) {
        if (mask & ((1 << i) | (1 << j))) continue;
        let sumP = 0;
        let sumQ = 0;
        let flux = 0;
        for (let k = 0; k < n; k++) {
          if (!(mask & (1 << k))) continue;
          sumP += p[k] as number;
          sumQ += q[k] as number;
          flux += (emitters[k] as Emitter).Y;
        }
        const a = (pj * sumQ - qj * sumP) / determinant;
        const b = (qi * sumP - pi * sumQ) / determinant;
        if (a < -EDGE || a > 1 + EDGE || b < -EDGE || b > 1 + EDGE) continue;
        const total = flux + a * (emitters[i] as Emitter).Y + b * (emitters[j] as Emitter).Y;
        if (total > best + EDGE) [best, bestMask, bestI, bestJ, bestA, bestB] = [total, mask, i, j, a, b];
      }
    }
  }
  if (best <= 0) return 0;
  for (let k = 0; k < n; k++) levels[k] = bestMask & (1 << k) ? 1 : 0;
  levels[bestI] = Math.min(1, Math.max(0, bestA));
  levels[bestJ] = Math.min(1, Math.max(0, bestB));
  return best;
}

const pulls = new Float64Array(8);
const pulls2 = new Float64Array(8);

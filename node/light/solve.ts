/**
 * From a wanted colour to levels of the emitters of a lamp. Light adds: XYZ of a mixture is the sum of level times XYZ of its emitters
 * (Grassmann's laws). For a chromaticity inside the gamut the levels sought are those of the greatest luminance: a linear programme with two
 * equations and bounds 0..1, whose optimum has at most two levels strictly between the bounds: a pair of emitters whose prices make every
 * other one worth being full or out, and whose own levels then come out between the bounds (complementary slackness).
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
 * @param wanted its x and y, CIE 1931; y above 0
 * @param levels one for each emitter, written: 0..1
 * @returns whether it can be mixed; where not, `levels` is all zeros. Numbers go by arrays: every frame of a fade comes here, and a number
 *   that is handed over by itself is put on the heap
 */
export function brightest(emitters: readonly Emitter[], wanted: Float64Array, levels: Float64Array): boolean {
  const n = emitters.length;
  const x = wanted[0] as number;
  const y = wanted[1] as number;
  levels.fill(0);
  // How far an emitter pulls the mixture off the wanted chromaticity; the sums of both must vanish.
  const p = pulls;
  const q = pulls2;
  for (let k = 0; k < n; k++) {
    const { X, Y, Z } = emitters[k] as Emitter;
    const noise = EDGE * (X + Y + Z);
    p[k] = beyond(X - (x / y) * Y, noise);
    q[k] = beyond(Z - ((1 - x - y) / y) * Y, noise);
  }
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const pi = p[i] as number;
      const pj = p[j] as number;
      const qi = q[i] as number;
      const qj = q[j] as number;
      const determinant = pi * qj - pj * qi;
      // Nearly in one line. By squares.
      if (determinant * determinant <= EDGE * EDGE * (pi * pi + qi * qi) * (pj * pj + qj * qj)) continue;
      // What each pull costs in light where i and j pay for themselves exactly (the multipliers of the dual programme).
      const Yi = (emitters[i] as Emitter).Y;
      const Yj = (emitters[j] as Emitter).Y;
      const costP = (Yi * qj - Yj * qi) / determinant;
      const costQ = (Yj * pi - Yi * pj) / determinant;
      // An emitter that is worth more than its pulls is full, one worth less is out; where it is as good one way as the other, both are tried.
      let full = 0;
      let either = 0;
      for (let k = 0; k < n; k++) {
        if (k === i || k === j) continue;
        const price = costP * (p[k] as number) + costQ * (q[k] as number);
        const gain = (emitters[k] as Emitter).Y - price;
        const noise = EDGE * ((emitters[k] as Emitter).Y + Math.abs(price));
        if (gain > noise) full |= 1 << k;
        else if (gain >= -noise) either |= 1 << k;
      }
      let some = 0;
      do {
        const mask = full | some;
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
        if (a >= -EDGE && a <= 1 + EDGE && b >= -EDGE && b <= 1 + EDGE) {
          // Outside the gamut the only mixture that pulls nowhere is no light at all.
          if (flux + a * Yi + b * Yj <= EDGE) return false;
          for (let k = 0; k < n; k++) levels[k] = mask & (1 << k) ? 1 : 0;
          levels[i] = Math.min(1, Math.max(0, a));
          levels[j] = Math.min(1, Math.max(0, b));
          return true;
        }
        some = (some - either) & either;
      } while (some !== 0);
    }
  }
  return brightestOnALine(emitters, levels);
}

/** Rounding leaves traces of what is nothing. */
const beyond = (value: number, noise: number): number => (Math.abs(value) <= noise ? 0 : value);

/**
 * Where every two pulls lie in one line no pair of levels is determined: all emitters have one colour, or the wanted one lies on the line
 * between the few that there are. Then one level at most is between the bounds.
 */
function brightestOnALine(emitters: readonly Emitter[], levels: Float64Array): boolean {
  const n = emitters.length;
  let reach = 0;
  let scale = 0;
  for (let k = 0; k < n; k++) {
    const { X, Y, Z } = emitters[k] as Emitter;
    reach = Math.max(reach, length(pulls[k] as number, pulls2[k] as number));
    scale = Math.max(scale, X + Y + Z);
  }
  let best = 0;
  for (let i = 0; i < n; i++) {
    for (let mask = 0; mask < 1 << n; mask++) {
      if (mask & (1 << i)) continue;
      let sumP = 0;
      let sumQ = 0;
      let flux = 0;
      for (let k = 0; k < n; k++) {
        if (!(mask & (1 << k))) continue;
        sumP += pulls[k] as number;
        sumQ += pulls2[k] as number;
        flux += (emitters[k] as Emitter).Y;
      }
      const p = pulls[i] as number;
      const q = pulls2[i] as number;
      const still = length(p, q) <= 1e-9 * scale;
      const level = still ? 1 : -(sumP * p + sumQ * q) / (p * p + q * q);
      if (level < -EDGE || level > 1 + EDGE) continue;
      if (length(sumP + level * p, sumQ + level * q) > 1e-7 * Math.max(reach, 1e-2 * scale)) continue;
      const total = flux + level * (emitters[i] as Emitter).Y;
      if (total <= best + EDGE) continue;
      best = total;
      for (let k = 0; k < n; k++) levels[k] = mask & (1 << k) ? 1 : 0;
      levels[i] = Math.min(1, Math.max(0, level));
    }
  }
  return best > 0;
}

/** As Math.hypot, which allocates. */
const length = (p: number, q: number): number => Math.sqrt(p * p + q * q);

const pulls = new Float64Array(8);
const pulls2 = new Float64Array(8);

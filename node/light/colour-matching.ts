/**
 * The colour-matching functions of the CIE 1931 observer by the sums of bell curves that Wyman, Sloan and Shirley fitted to them (Simple Analytic
 * Approximations to the CIE XYZ Color Matching Functions, JCGT 2013): within about a hundredth of the greatest value from 380 to 780 nm.
 */
type Lobe = readonly [height: number, middle: number, before: number, after: number];
const X: readonly Lobe[] = [
  [0.362, 442, 0.0624, 0.0374],
  [1.056, 599.8, 0.0264, 0.0323],
  [-0.065, 501.1, 0.049, 0.0382],
];
const Y: readonly Lobe[] = [
  [0.821, 568.8, 0.0213, 0.0247],
  [0.286, 530.9, 0.0613, 0.0322],
];
const Z: readonly Lobe[] = [
  [1.217, 437, 0.0845, 0.0278],
  [0.681, 459, 0.0385, 0.0725],
];

const sum = (lobes: readonly Lobe[], nm: number): number =>
  lobes.reduce((all, [height, middle, before, after]) => {
    const off = (nm - middle) * (nm < middle ? before : after);
    return all + height * Math.exp(-(off * off) / 2);
  }, 0);

/** Energy of light at a wavelength in nanometres. */
export interface Measured {
  readonly nm: number;
  readonly energy: number;
}

/** XYZ of a spectrum, in the unit of its energy; between points it is a straight line. */
export function xyzOf(spectrum: readonly Measured[]): [X: number, Y: number, Z: number] {
  const points = [...spectrum].sort((a, b) => a.nm - b.nm);
  const xyz: [number, number, number] = [0, 0, 0];
  for (const [i, from] of points.entries()) {
    const to = points[i + 1];
    if (to === undefined || to.nm <= from.nm) continue;
    // Steps of a nanometre at most: files give lines that are many apart.
    const steps = Math.ceil(to.nm - from.nm);
    const wide = (to.nm - from.nm) / steps;
    for (let k = 0; k < steps; k++) {
      const along = (k + 0.5) / steps;
      const nm = from.nm + along * (to.nm - from.nm);
      const energy = (from.energy + along * (to.energy - from.energy)) * wide;
      xyz[0] += sum(X, nm) * energy;
      xyz[1] += sum(Y, nm) * energy;
      xyz[2] += sum(Z, nm) * energy;
    }
  }
  return xyz;
}

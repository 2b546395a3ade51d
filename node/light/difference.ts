/**
 * CIEDE2000 (CIE 142, ISO/CIE 11664-6; Sharma, Wu and Dalal 2005) between two lights of one luminance, beside D65. How strong they are does not
 * count: an eye that has got used to a dim room sees a false hue as well as in a bright one. 1 can just be noticed side by side.
 */

/** Luminance at which colours are compared: a middling light, as of a grey of 18 %. */
export const COMPARED_AT = 0.18;
/** XYZ of D65 (IEC 61966-2-1). */
const WHITE_X = 0.95045593;
const WHITE_Z = 1.08905775;
const DEGREE = Math.PI / 180;
const FAR = 25 ** 7;

/** Between the XYZ in one array and that in another, each of any strength above 0. */
export function difference(one: ArrayLike<number>, other: ArrayLike<number>): number {
  inLab(one, lab1);
  inLab(other, lab2);
  return ciede2000(lab1, lab2);
}

const lab1 = new Float64Array(3);
const lab2 = new Float64Array(3);

function inLab(xyz: ArrayLike<number>, lab: Float64Array): void {
  const scale = COMPARED_AT / (xyz[1] as number);
  const x = root(((xyz[0] as number) * scale) / WHITE_X);
  const y = root(COMPARED_AT);
  const z = root(((xyz[2] as number) * scale) / WHITE_Z);
  lab[0] = 116 * y - 16;
  lab[1] = 500 * (x - y);
  lab[2] = 200 * (y - z);
}

/** CIE 15, the function of L*, a* and b*. */
const root = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);

const hueOf = (a: number, b: number): number => (Math.atan2(b, a) + 2 * Math.PI) % (2 * Math.PI);

/** Between two colours in CIE Lab. */
export function ciede2000(one: ArrayLike<number>, other: ArrayLike<number>): number {
  const l1 = one[0] as number;
  const b1 = one[2] as number;
  const l2 = other[0] as number;
  const b2 = other[2] as number;
  const mean7 = ((Math.sqrt((one[1] as number) ** 2 + b1 * b1) + Math.sqrt((other[1] as number) ** 2 + b2 * b2)) / 2) ** 7;
  const stretch = 1.5 - Math.sqrt(mean7 / (mean7 + FAR)) / 2;
  const a1 = stretch * (one[1] as number);
  const a2 = stretch * (other[1] as number);
  const c1 = Math.sqrt(a1 * a1 + b1 * b1);
  const c2 = Math.sqrt(a2 * a2 + b2 * b2);
  const grey = c1 * c2 === 0;
  const h1 = hueOf(a1, b1);
  const h2 = hueOf(a2, b2);
  let turn = grey ? 0 : h2 - h1;
  if (turn > Math.PI) turn -= 2 * Math.PI;
  else if (turn < -Math.PI) turn += 2 * Math.PI;
  const hue = grey ? h1 + h2 : h1 + turn / 2;
  const dL = l2 - l1;
  const dC = c2 - c1;
  const dH = 2 * Math.sqrt(c1 * c2) * Math.sin(turn / 2);
  const l = (l1 + l2) / 2 - 50;
  const c = (c1 + c2) / 2;
  const t =
    1 -
    0.17 * Math.cos(hue - 30 * DEGREE) +
    0.24 * Math.cos(2 * hue) +
    0.32 * Math.cos(3 * hue + 6 * DEGREE) -
    0.2 * Math.cos(4 * hue - 63 * DEGREE);
  const sL = 1 + (0.015 * l * l) / Math.sqrt(20 + l * l);
  const sC = 1 + 0.045 * c;
  const sH = 1 + 0.015 * c * t;
  const degrees = (hue / DEGREE + 360) % 360;
  const c7 = c ** 7;
  const twist = -2 * Math.sqrt(c7 / (c7 + FAR)) * Math.sin(60 * DEGREE * Math.exp(-(((degrees - 275) / 25) ** 2)));
  const [x, y, z] = [dL / sL, dC / sC, dH / sH];
  return Math.sqrt(x * x + y * y + z * z + twist * y * z);
}

import type { Triple } from '../core/vector.ts';

/**
 * sRGB, CIE xyY and Oklab. All colours here are relative to D65 white; linear parts are 0..1 inside the sRGB gamut.
 * Oklab is where fades run: equal steps look about equal to the eye.
 * Sources: IEC 61966-2-1 (transfer, matrix at the precision of CSS Color 4), CSS Color 4 (Oklab matrices).
 */

type Matrix = readonly [Triple, Triple, Triple];

/** XYZ to linear sRGB, IEC 61966-2-1. */
const XYZ_TO_RGB: Matrix = [
  [3.24096994, -1.53738318, -0.49861076],
  [-0.96924364, 1.8759675, 0.04155506],
  [0.05563008, -0.20397696, 1.05697151],
];
const RGB_TO_XYZ: Matrix = [
  [0.4123908, 0.35758434, 0.18048079],
  [0.21263901, 0.71516868, 0.07219232],
  [0.01933082, 0.11919478, 0.95053215],
];
const LUMINANCE: Triple = RGB_TO_XYZ[1];
/** Linear sRGB to the cone-like responses of Oklab, and from their cube roots to L, a, b (CSS Color 4, section 18). */
const RGB_TO_LMS: Matrix = [
  [0.4122214708, 0.5363325363, 0.0514459929],
  [0.2119034982, 0.6806995451, 0.1073969566],
  [0.0883024619, 0.2817188376, 0.6299787005],
];
const LMS_TO_LAB: Matrix = [
  [0.2104542553, 0.793617785, -0.0040720468],
  [1.9779984951, -2.428592205, 0.4505937099],
  [0.0259040371, 0.7827717662, -0.808675766],
];

const times = (m: Matrix, [a, b, c]: Triple): Triple => {
  const row = ([x, y, z]: Triple): number => x * a + y * b + z * c;
  return [row(m[0]), row(m[1]), row(m[2])];
};

/** sRGB's transfer function, 0..1 to 0..1 linear light (IEC 61966-2-1). */
export const toLinear = (c: number): number => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);

/** Its inverse: linear light to sRGB, both 0..1. */
export const toEncoded = (c: number): number => (c <= 0.0031308 ? c * 12.92 : 1.055 * c ** (1 / 2.4) - 0.055);

export const linearToOklab = (rgb: Triple): Triple => {
  const [l, m, s] = times(RGB_TO_LMS, rgb);
  return times(LMS_TO_LAB, [Math.cbrt(l), Math.cbrt(m), Math.cbrt(s)]);
};

/** XYZ relative to D65 to linear sRGB; parts of a colour outside the gamut of sRGB are below 0 or above 1. */
export const xyzToLinear = (xyz: Triple): Triple => times(XYZ_TO_RGB, xyz);

export const xyzToOklab = (xyz: Triple): Triple => linearToOklab(xyzToLinear(xyz));

/** Linear sRGB to XYZ relative to D65, IEC 61966-2-1. */
export const linearToXyz = (rgb: Triple): Triple => times(RGB_TO_XYZ, rgb);

/** Luminance of linear sRGB, the Y of XYZ (IEC 61966-2-1; WCAG 2.2 calls it relative luminance). White is 1. */
export const luminanceOf = (red: number, green: number, blue: number): number =>
  LUMINANCE[0] * red + LUMINANCE[1] * green + LUMINANCE[2] * blue;

/** CIE 1931 chromaticity to linear sRGB with its largest part 1; parts outside the gamut are cut at 0. */
export function xyToLinear(x: number, y: number): Triple {
  const [r, g, b] = xyzToLinear([x / y, 1, (1 - x - y) / y]).map((part) => Math.max(0, part)) as [number, number, number];
  const most = Math.max(r, g, b);
  return [r / most, g / most, b / most];
}

/**
 * Oklab to linear sRGB: three numbers of `from`, from `at` on, into three of `out`. Numbers go by arrays, so that a tick puts none on the
 * heap. Parts outside 0..1 are left as they are. Inverse of the matrices above (CSS Color 4, section 18).
 */
export function oklabToLinear(from: ArrayLike<number>, at: number, out: Float64Array): void {
  const lightness = from[at] as number;
  const a = from[at + 1] as number;
  const b = from[at + 2] as number;
  const l = lightness + 0.3963377774 * a + 0.2158037573 * b;
  const m = lightness - 0.1055613458 * a - 0.0638541728 * b;
  const s = lightness - 0.0894841775 * a - 1.291485548 * b;
  const long = l * l * l;
  const medium = m * m * m;
  const short = s * s * s;
  out[0] = 4.0767416621 * long - 3.3077115913 * medium + 0.2309699292 * short;
  out[1] = -1.2684380046 * long + 2.6097574011 * medium - 0.3413193965 * short;
  out[2] = -0.0041960863 * long - 0.7034186147 * medium + 1.707614701 * short;
}

/** Linear sRGB, the three numbers of `light`, to XYZ relative to D65, in place. */
export function toXyz(light: Float64Array): void {
  const red = light[0] as number;
  const green = light[1] as number;
  const blue = light[2] as number;
  for (let i = 0; i < 3; i++) {
    const row = RGB_TO_XYZ[i] as Triple;
    light[i] = row[0] * red + row[1] * green + row[2] * blue;
  }
}

/** Oklab to XYZ relative to D65, as {@link oklabToLinear}. */
export function oklabToXyz(from: ArrayLike<number>, at: number, out: Float64Array): void {
  oklabToLinear(from, at, out);
  toXyz(out);
}

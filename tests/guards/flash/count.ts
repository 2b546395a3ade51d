/**
 * Counts flashes as WCAG 2.2 defines them, and red ones as WCAG 2.0 does too ("general flash and red flash thresholds"), by the words and by brute force: the longest row of
 * opposing changes that any second holds. It shares nothing with the guard.
 */
export interface Shown {
  /** Milliseconds. It shows this until the next. */
  readonly at: number;
  /** Linear sRGB, where a luminance of 1 is all that there is. */
  readonly rgb: readonly [number, number, number];
}

/** IEC 61966-2-1. */
const luminance = ([r, g, b]: Shown['rgb']): number => 0.2126 * r + 0.7152 * g + 0.0722 * b;

/** "A pair of opposing changes in relative luminance of 10% or more of the maximum relative luminance where the darker image is below 0.80". */
const brighter = (from: number, to: number): boolean => to - from >= 0.1 && from < 0.8;

/** "Any pair of opposing transitions involving a saturated red": R/(R+G+B) of at least 0.8, and further than 0.2 away in u'v', or dark. */
const redder = (from: Shown['rgb'], to: Shown['rgb']): boolean => isRed(to) && (isDark(from) || apart(from, to) > 0.2);
const isRed = ([r, g, b]: Shown['rgb']): boolean => r / (r + g + b) >= 0.8 && r - g - b > 20 / 320;
/** WCAG 2.0, note on the red flash: R − G − B changes by more than 20 of 320, and one of both states is a saturated red. */
const moreRed = (from: Shown['rgb'], to: Shown['rgb']): boolean =>
  (isRed(from) || isRed(to)) && redness(to) - redness(from) > 20 / 320 + 1e-9;
const redness = ([r, g, b]: Shown['rgb']): number => Math.max(0, r - g - b);
const isDark = ([r, g, b]: Shown['rgb']): boolean => r + g + b < 10 / 320;
function apart(one: Shown['rgb'], other: Shown['rgb']): number {
  const [[u1, v1], [u2, v2]] = [uv(one), uv(other)];
  return Math.hypot(u1 - u2, v1 - v2);
}
/** Matrix of IEC 61966-2-1; u' = 4X/(X+15Y+3Z), v' = 9Y/(X+15Y+3Z). */
function uv([r, g, b]: Shown['rgb']): [number, number] {
  const X = 0.4124 * r + 0.3576 * g + 0.1805 * b;
  const Y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
  const Z = 0.0193 * r + 0.1192 * g + 0.9505 * b;
  const sum = X + 15 * Y + 3 * Z;
  return [(4 * X) / sum, (9 * Y) / sum];
}

/** The longest row of changes up and down in turn among these states, each from any state to any later one. */
function longest<T>(states: readonly T[], up: (from: T, to: T) => boolean): number {
  const rising: number[] = [];
  const falling: number[] = [];
  for (const [j, to] of states.entries()) {
    let [rise, fall] = [0, 0];
    for (let i = 0; i < j; i++) {
      const from = states[i] as T;
      if (up(from, to)) rise = Math.max(rise, 1 + (falling[i] ?? 0));
      if (up(to, from)) fall = Math.max(fall, 1 + (rising[i] ?? 0));
    }
    rising.push(rise);
    falling.push(fall);
  }
  return Math.max(0, ...rising, ...falling);
}

/** The most opposing changes in any second, both its ends included: what is shown as it begins has just been shown. */
function most<T>(light: readonly Shown[], stateOf: (rgb: Shown['rgb']) => T, up: (from: T, to: T) => boolean): number {
  let greatest = 0;
  for (let k = 0; k < light.length; k++) {
    const end = (light[k]?.at ?? 0) + 1000 + 1e-6;
    let last = k;
    while (last + 1 < light.length && (light[last + 1]?.at ?? 0) <= end) last++;
    const states = light.slice(Math.max(0, k - 1), last + 1).map(({ rgb }) => stateOf(rgb));
    const apartFromNext = states.filter((state, i) => i === 0 || state !== states[i - 1]);
    greatest = Math.max(greatest, longest(apartFromNext, up));
  }
  return greatest;
}

export const changes = (light: readonly Shown[]): number => most(light, luminance, brighter);
export const redChanges = (light: readonly Shown[]): number =>
  // Without a saturated red there is none of either kind.
  light.some(({ rgb }) => isRed(rgb))
    ? Math.max(
        most(light, (rgb) => rgb, redder),
        most(light, (rgb) => rgb, moreRed),
      )
    : 0;

/** Pairs of them: changes by two, rounded down. */
export const flashes = (light: readonly Shown[]): number => Math.floor(changes(light) / 2);
export const redFlashes = (light: readonly Shown[]): number => Math.floor(redChanges(light) / 2);

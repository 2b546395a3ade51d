import { z } from 'zod';

/** A colour as a document writes it, taken apart. Conversion to light is `light`. */
export type ColourValue =
  | { readonly kind: 'srgb'; readonly red: number; readonly green: number; readonly blue: number }
  | { readonly kind: 'kelvin'; readonly kelvin: number }
  | { readonly kind: 'xy'; readonly x: number; readonly y: number }
  | { readonly kind: 'theme'; readonly id: string };

const allowed = 'must be a colour: #f7e7ce, 2700 K, xy 0.31 0.33 or theme:NAME';

/**
 * Reads `#f7e7ce` (sRGB), `2700 K` (1667..25000, the domain of the locus formula in `light`), `xy 0.31 0.33` (CIE 1931) or
 * `theme:champagne`. Undefined when it is none of them.
 */
export function parseColour(text: string): ColourValue | undefined {
  const hex = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(text);
  if (hex) {
    const [red = 0, green = 0, blue = 0] = hex.slice(1).map((part) => Number.parseInt(part, 16) / 255);
    return { kind: 'srgb', red, green, blue };
  }
  const kelvin = Number(/^(\d{4,5}) ?K$/.exec(text)?.[1]);
  if (kelvin >= 1667 && kelvin <= 25000) return { kind: 'kelvin', kelvin };
  const xy = /^xy (0?\.\d+) (0?\.\d+)$/.exec(text);
  if (xy) {
    const [x, y] = [Number(xy[1]), Number(xy[2])];
    return y > 0 && x + y <= 1 ? { kind: 'xy', x, y } : undefined;
  }
  const theme = themeColourIn(text);
  return theme === undefined || !/^[a-z0-9-]+$/.test(theme) ? undefined : { kind: 'theme', id: theme };
}

const OF_THEME = 'theme:';

/** The id of the theme's colour that a colour is; of those that a document may hold every other is none. */
export const themeColourIn = (text: string): string | undefined =>
  text.startsWith(OF_THEME) ? text.slice(OF_THEME.length) : undefined;

export const colour = z.string().refine((text) => parseColour(text) !== undefined, { error: allowed });
export const themeColour = colour.refine((text) => themeColourIn(text) === undefined, {
  error: 'must not refer to another theme colour',
});

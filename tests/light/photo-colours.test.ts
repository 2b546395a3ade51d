import { differenceCiede2000 } from 'culori';
import { describe, expect, it } from 'vitest';
import { photoColours } from '../../node/light/photo-colours.ts';

/** Noise that is the same at every run: a linear congruential generator (constants of Numerical Recipes). */
function noise() {
  let seed = 12_345;
  return (most: number): number => {
    seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0;
    return (seed / 2 ** 32 - 0.5) * 2 * most;
  };
}

/** A picture of patches: so many pixels of a colour, each a little off, and lit by `light` of what its patch is. */
function picture(patches: readonly (readonly [hex: string, pixels: number, lit?: (i: number) => number])[], off = 5): number[] {
  const random = noise();
  return patches.flatMap(([hex, pixels, lit = () => 1]) => {
    const linear = [1, 3, 5].map((at) => (Number.parseInt(hex.slice(at, at + 2), 16) / 255) ** 2.2);
    return Array.from({ length: pixels }, (_, i) => [
      ...linear.map((part) => Math.min(255, Math.max(0, Math.round(255 * (part * lit(i)) ** (1 / 2.2) + random(off))))),
      255,
    ]).flat();
  });
}

const hex = (packed: number): string => `#${packed.toString(16).padStart(6, '0')}`;
const found = (rgba: ArrayLike<number>): string[] => photoColours(rgba).map(({ packed }) => hex(packed));
/** CIEDE2000 by culori, an independent implementation. */
const apart = differenceCiede2000();
const nearest = (among: readonly string[], to: string): number => Math.min(...among.map((one) => apart(one, to) as number));

describe('colours from a photo', () => {
  const flowers = ['#ff6f91', '#ffd166', '#6fffa9', '#5b8cff', '#c77dff'];

  it('are those that are in it, whatever the noise of the camera', () => {
    const colours = found(picture(flowers.map((one) => [one, 800])));
    expect(colours).toHaveLength(5);
    // Two by CIEDE2000 cannot be told apart from across a room.
    for (const one of flowers) expect(nearest(colours, one)).toBeLessThan(2);
  });

  it('are one where one thing lies half in the shade: light has no dark colours', () => {
    const colours = found(picture([['#ff6f91', 4000, (i) => 0.15 + (0.85 * i) / 4000]], 3));
    expect(colours).toHaveLength(1);
    expect(nearest(colours, '#ff6f91')).toBeLessThan(3);
  });

  it('have a small strong accent among them beside much of a plain wall', () => {
    const colours = found(
      picture([
        ['#fff4e6', 9000, (i) => 0.4 + (0.6 * i) / 9000],
        ['#e8fff0', 3000],
        ['#ff2f6d', 180],
        ['#3f7fff', 120],
      ]),
    );
    expect(nearest(colours, '#ff2f6d')).toBeLessThan(4);
    expect(nearest(colours, '#3f7fff')).toBeLessThan(4);
  });

  it('are the most telling first, with their share of what is not dark; five at most, and no two that an eye would call one', () => {
    const many = ['#ff3030', '#ff9030', '#ffff30', '#30ff30', '#30ffff', '#3030ff', '#ff30ff'];
    const colours = photoColours(picture([...many.map((one, i) => [one, 100 * (i + 1)] as const), ['#000000', 5000]]));
    expect(colours).toHaveLength(5);
    expect(hex(colours[0]?.packed ?? 0)).toMatch(/^#f.[23].f.$/);
    expect(colours.reduce((sum, { share }) => sum + share, 0)).toBeLessThanOrEqual(1);
    for (const [i, { packed }] of colours.entries())
      expect(
        nearest(
          [...colours.slice(0, i), ...colours.slice(i + 1)].map((one) => hex(one.packed)),
          hex(packed),
        ),
      ).toBeGreaterThan(6);
  });

  it('are the same for the same picture, and none of a picture that is dark or not there', () => {
    const one = picture(flowers.map((colour) => [colour, 300]));
    expect(found(one)).toEqual(found(one));
    expect(found([])).toEqual([]);
    expect(found(picture([['#050505', 500]]))).toEqual([]);
    expect(found(new Array<number>(400).fill(0))).toEqual([]);
  });
});

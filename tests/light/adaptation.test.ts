import { describe, expect, it } from 'vitest';
import { adapted, uvDistance } from '../../node/light/adaptation.ts';

/** Standard illuminants, CIE 15:2004. */
const D65 = [0.3127, 0.329] as const;
const D50 = [0.3457, 0.3585] as const;

describe('a chromaticity seen in another white', () => {
  it('is that white where it was the white before', () => {
    const [x, y] = adapted(D65, D65, D50);
    expect(x).toBeCloseTo(D50[0], 6);
    expect(y).toBeCloseTo(D50[1], 6);
  });

  // Bradford from D65 to D50 as colour libraries publish it; sRGB red is x 0.64 y 0.33 (IEC 61966-2-1).
  it('moves as the published matrix says', () => {
    const rows = [
      [1.04792979, 0.02294687, -0.05019227],
      [0.02962781, 0.99043443, -0.0170738],
      [-0.00924304, 0.01505519, 0.75187428],
    ];
    const red = [0.64 / 0.33, 1, 0.03 / 0.33];
    const [X = 0, Y = 0, Z = 0] = rows.map((row) => row.reduce((sum, one, i) => sum + one * (red[i] ?? 0), 0));
    const [x, y] = adapted([0.64, 0.33], D65, D50);
    expect(x).toBeCloseTo(X / (X + Y + Z), 4);
    expect(y).toBeCloseTo(Y / (X + Y + Z), 4);
  });
});

// CIE 15:2004: u' = 4x / (-2x + 12y + 3), v' = 9y / (-2x + 12y + 3). D65 has 0.19783, 0.46834 and D50 0.20916, 0.48807, worked out by hand.
it('distances are those of u′v′', () => {
  expect(uvDistance(D65, D50)).toBeCloseTo(Math.hypot(0.20916 - 0.19783, 0.48807 - 0.46834), 4);
});

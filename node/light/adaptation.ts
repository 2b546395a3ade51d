type Xy = readonly [x: number, y: number];
type Row = readonly [number, number, number];

/** Bradford cone responses (Lam 1985; as CIE 159:2004 prints them). */
const TO_CONES: readonly [Row, Row, Row] = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];
const FROM_CONES: readonly [Row, Row, Row] = [
  [0.9869929, -0.1470543, 0.1599627],
  [0.4323053, 0.5183603, 0.0492912],
  [-0.0085287, 0.0400428, 0.9684867],
];

const times = (matrix: readonly [Row, Row, Row], v: Row): Row => [
  matrix[0][0] * v[0] + matrix[0][1] * v[1] + matrix[0][2] * v[2],
  matrix[1][0] * v[0] + matrix[1][1] * v[1] + matrix[1][2] * v[2],
  matrix[2][0] * v[0] + matrix[2][1] * v[1] + matrix[2][2] * v[2],
];
const xyz = ([x, y]: Xy): Row => [x / y, 1, (1 - x - y) / y];

/** The chromaticity that looks in light of the white `to` as this one does in that of `from`: von Kries on Bradford's cones. */
export function adapted(at: Xy, from: Xy, to: Xy): Xy {
  const [seen, before, after] = [times(TO_CONES, xyz(at)), times(TO_CONES, xyz(from)), times(TO_CONES, xyz(to))];
  const [X, Y, Z] = times(FROM_CONES, [
    (seen[0] * after[0]) / before[0],
    (seen[1] * after[1]) / before[1],
    (seen[2] * after[2]) / before[2],
  ]);
  return [X / (X + Y + Z), Y / (X + Y + Z)];
}

/** Distance in CIE 1976 u′v′ (CIE 15:2004). */
export function uvDistance(a: Xy, b: Xy): number {
  const [ua, va] = uv(a);
  const [ub, vb] = uv(b);
  return Math.hypot(ua - ub, va - vb);
}

const uv = ([x, y]: Xy): Xy => [(4 * x) / (3 - 2 * x + 12 * y), (9 * y) / (3 - 2 * x + 12 * y)];

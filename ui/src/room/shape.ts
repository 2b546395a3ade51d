/**
 * The room as the picture and the buttons draw it: seen from the middle of one wall, 160 wide and 116 high. Which light falls
 * where is known by its use only, so it stands for a room, and is not one.
 */
export const WIDTH = 160;
export const HEIGHT = 116;
/** The wall opposite. */
export const BACK = { left: 34, right: 126, top: 26, foot: 80 } as const;

/** Lines along which walls, floor and ceiling meet: from x, y to x, y. */
export const EDGES: readonly (readonly [number, number, number, number])[] = [
  [0, 0, BACK.left, BACK.top],
  [BACK.right, BACK.top, WIDTH, 0],
  [0, HEIGHT, BACK.left, BACK.foot],
  [BACK.right, BACK.foot, WIDTH, HEIGHT],
  [BACK.left, BACK.top, BACK.right, BACK.top],
  [BACK.left, BACK.foot, BACK.right, BACK.foot],
  [BACK.left, BACK.top, BACK.left, BACK.foot],
  [BACK.right, BACK.top, BACK.right, BACK.foot],
];

/** Place on the foot of the walls, by a share of their run; the inverse of {@link wallAt} at the floor. */
export function footAt(along: number): readonly [x: number, y: number] {
  if (along < CORNER_LEFT) {
    const near = 1 - along / CORNER_LEFT;
    return [BACK.left * (1 - near), BACK.foot + (HEIGHT - BACK.foot) * near];
  }
  if (along > CORNER_RIGHT) {
    const near = (along - CORNER_RIGHT) / (1 - CORNER_RIGHT);
    return [BACK.right + (WIDTH - BACK.right) * near, BACK.foot + (HEIGHT - BACK.foot) * near];
  }
  return [BACK.left + ((along - CORNER_LEFT) / (CORNER_RIGHT - CORNER_LEFT)) * (BACK.right - BACK.left), BACK.foot];
}

/** Shares of the walls' run, from the near end on the left around to the near end on the right. */
const CORNER_LEFT = 0.22;
const CORNER_RIGHT = 0.78;

export interface WallPlace {
  /** Along the run, 0..1. */
  readonly along: number;
  readonly top: number;
  readonly foot: number;
}

/** The wall behind a column of the picture. */
export function wallAt(x: number): WallPlace {
  if (x < BACK.left) {
    const near = 1 - x / BACK.left;
    return { along: CORNER_LEFT * (1 - near), top: BACK.top * (1 - near), foot: BACK.foot + (HEIGHT - BACK.foot) * near };
  }
  if (x > BACK.right) {
    const near = (x - BACK.right) / (WIDTH - BACK.right);
    return {
      along: CORNER_RIGHT + (1 - CORNER_RIGHT) * near,
      top: BACK.top * (1 - near),
      foot: BACK.foot + (HEIGHT - BACK.foot) * near,
    };
  }
  const share = (x - BACK.left) / (BACK.right - BACK.left);
  return { along: CORNER_LEFT + (CORNER_RIGHT - CORNER_LEFT) * share, top: BACK.top, foot: BACK.foot };
}

export type Surface = 'ceiling' | 'walls' | 'floor';

export function surfaceAt(x: number, y: number): Surface {
  const { top, foot } = wallAt(x);
  return y < top ? 'ceiling' : y > foot ? 'floor' : 'walls';
}

export interface FlatPlace {
  /** From left to right, 0..1. */
  readonly across: number;
  /** From the near edge to the wall opposite, 0..1. */
  readonly deep: number;
}

/** Place on the ceiling, for a row above its edge; the mirror of {@link floorAt}. */
export const ceilingAt = (x: number, y: number): FlatPlace => flatAt(x, y / BACK.top);
export const floorAt = (x: number, y: number): FlatPlace => flatAt(x, (HEIGHT - y) / (HEIGHT - BACK.foot));

function flatAt(x: number, deep: number): FlatPlace {
  const left = BACK.left * deep;
  const right = WIDTH + (BACK.right - WIDTH) * deep;
  return { across: (x - left) / (right - left), deep };
}

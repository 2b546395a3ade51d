/**
 * The room as both the picture and the swatches draw it: seen from the middle of one wall, 160 wide and 90 high. Which light falls where
 * is known by its band only, so it stands for a room, and is not one.
 */
export const WIDTH = 160;
export const HEIGHT = 90;
/** The wall opposite. */
export const BACK = { left: 38, right: 122, top: 19, foot: 60 } as const;

/** Where walls, floor and ceiling meet, as the path of an SVG. */
export const EDGES = `M0 0 L${BACK.left} ${BACK.top} H${BACK.right} L${WIDTH} 0 M0 ${HEIGHT} L${BACK.left} ${BACK.foot} H${BACK.right} L${WIDTH} ${HEIGHT} M${BACK.left} ${BACK.top} V${BACK.foot} M${BACK.right} ${BACK.top} V${BACK.foot}`;

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

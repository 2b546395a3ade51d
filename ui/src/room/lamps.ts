import type { FixtureSummary } from '../../../node/api/contract.ts';
import { BACK, footAt, HEIGHT, WIDTH } from './shape.ts';

/** How a lamp is drawn: a glow, a string of bulbs overhead, or a head with its beam. */
export type LampKind = 'glow' | 'bulbs' | 'bar' | 'lens' | 'blinder' | 'hung' | 'upright' | 'none';

/** A lamp where its use puts it, in the measures of the room's picture. */
export interface PlacedLamp {
  /** Index into the picture's colours. */
  readonly light: number;
  readonly use: string;
  readonly kind: LampKind;
  readonly x: number;
  readonly y: number;
  /** Which of the heads it is, to find its angles; -1: none. */
  readonly head: number;
}

const kinds: Readonly<Record<string, LampKind>> = {
  uplight: 'glow',
  facade: 'glow',
  totem: 'glow',
  centrepiece: 'bulbs',
  'ceiling wash': 'bar',
  texture: 'lens',
  'dance wash': 'lens',
  blinder: 'blinder',
  spot: 'hung',
  beam: 'upright',
  haze: 'none',
};

/** Puts the lamps of a show into the room: side by side in the order of the show. */
export function placeLamps(fixtures: readonly Pick<FixtureSummary, 'use' | 'head'>[]): readonly PlacedLamp[] {
  let heads = 0;
  return fixtures.map(({ use, head }, light) => {
    const own = fixtures.flatMap((one, i) => (one.use === use ? [i] : []));
    const at = (own.indexOf(light) + 0.5) / own.length;
    const [x, y] = spotOf(use, at);
    return { light, use, kind: kinds[use] ?? 'glow', x, y, head: head === true ? heads++ : -1 };
  });
}

const middle = WIDTH / 2;
const across = (at: number, from: number, to: number): number => from + (to - from) * at;

function spotOf(use: string, at: number): readonly [x: number, y: number] {
  switch (use) {
    case 'centrepiece':
      return [middle, across(at, 6, BACK.top + 4)];
    case 'ceiling wash':
      return [across(at, BACK.left, BACK.right), BACK.top - 3];
    case 'texture':
      return [across(at, middle - 10, middle + 10), BACK.foot - 9];
    case 'dance wash':
      return [across(at, BACK.left + 4, BACK.right - 4), BACK.top + 7];
    case 'blinder':
      return [across(at, middle - 14, middle + 14), BACK.foot - 20];
    case 'spot':
      return [across(at, BACK.left - 6, BACK.right + 6), BACK.top - 8];
    case 'beam':
      return [across(at, BACK.left - 16, BACK.right + 16), BACK.foot + 8];
    case 'haze':
      return [BACK.right, HEIGHT - 20];
    default: {
      const [x, y] = footAt(at);
      return [Math.min(WIDTH - 2, Math.max(2, x)), Math.min(HEIGHT - 2, y)];
    }
  }
}

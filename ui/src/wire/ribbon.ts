import type { FixtureSummary } from '../../../node/api/contract.ts';
import { SLOTS } from '../../../node/core/levels.ts';
import { byAddress, lastSlot } from '../parts/address.ts';

/**
 * A universe as a ribbon that is written like a line of text: fixtures are its words, their slots its letters, and what no fixture
 * answers to is the space between. It wraps where the page ends.
 */
export type Piece =
  | { readonly kind: 'fixture'; readonly fixture: FixtureSummary; readonly first: number; readonly last: number }
  | { readonly kind: 'gap'; readonly first: number; readonly last: number };

export type Placed<P extends Piece = Piece> = P & {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  /** Width of one slot of it. */
  readonly step: number;
};

export interface Ribbon {
  readonly placed: readonly Placed[];
  readonly height: number;
}

/** Lengths in CSS pixels. */
export const LINE = 76;
const LINE_GAP = 12;
/** A finger's width of slots; a fixture of many is drawn narrower rather than wider than the page. */
const SLOT = 10;
const GAP_SLOT = 3;
const WIDEST_GAP = 92;
const NARROWEST_GAP = 8;
/** A gap of this many slots says how many they are, and has its own place for that. */
export const COUNTED_GAP = 24;
const WORD_SPACE = 14;
/** A longer name is cut, and heard or read in full when it is picked. */
const LONGEST_WORD = 260;

/** The pieces of one universe. With `gaps`, all of its 512 slots are in one of them; without, only the fixtures that were asked for. */
export function piecesOf(fixtures: readonly FixtureSummary[], gaps: boolean): Piece[] {
  const pieces: Piece[] = [];
  let free = 1;
  for (const fixture of [...fixtures].sort(byAddress)) {
    const first = fixture.address;
    const last = lastSlot(fixture);
    if (gaps && first > free) pieces.push({ kind: 'gap', first: free, last: first - 1 });
    pieces.push({ kind: 'fixture', fixture, first, last });
    free = Math.max(free, last + 1);
  }
  if (gaps && free <= SLOTS) pieces.push({ kind: 'gap', first: free, last: SLOTS });
  return pieces;
}

/**
 * Lays the pieces out over lines of a width. A fixture is as wide as its slots or as its name, which `wordOf` measures; a gap begins where
 * the slots before it end, below the rest of the name.
 */
export function layOut(pieces: readonly Piece[], width: number, wordOf: (fixture: FixtureSummary) => number): Ribbon {
  const placed: Placed[] = [];
  let x = 0;
  let y = 0;
  /** Where the slots of the fixture before end, while there is room behind them below its name. */
  let strip: number | undefined;
  for (const piece of pieces) {
    const count = piece.last - piece.first + 1;
    const wanted = piece.kind === 'fixture' ? Math.max(wordOf(piece.fixture), count * SLOT) : gapWidth(count);
    const own = Math.min(width, piece.kind === 'fixture' ? Math.min(wanted, Math.max(LONGEST_WORD, count * SLOT)) : wanted);
    if (piece.kind === 'gap' && count < COUNTED_GAP && strip !== undefined && strip + own <= x - WORD_SPACE) {
      placed.push({ ...piece, x: strip, y, width: own, step: own / count });
      strip = undefined;
      continue;
    }
    if (x > 0 && x + own > width) {
      x = 0;
      y += LINE + LINE_GAP;
    }
    const step = piece.kind === 'fixture' ? Math.min(SLOT, own / count) : own / count;
    placed.push({ ...piece, x, y, width: own, step });
    strip = piece.kind === 'fixture' ? x + count * step : undefined;
    x += own + WORD_SPACE;
  }
  return { placed, height: placed.length === 0 ? 0 : y + LINE };
}

const gapWidth = (count: number): number => Math.min(WIDEST_GAP, Math.max(NARROWEST_GAP, count * GAP_SLOT));

/** The slot at a place across a piece, counted from its left edge. */
export function slotAt({ first, last, step }: Placed, across: number): number {
  return Math.min(last, Math.max(first, first + Math.floor(across / step)));
}

/** Where a piece lies, for what lies over the picture. */
export const boxOf = ({ x, y, width }: Placed) => ({ left: `${x}px`, top: `${y}px`, width: `${width}px`, height: `${LINE}px` });

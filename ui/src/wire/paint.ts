import type { ChannelSummary, FixtureSummary } from '../../../node/api/contract.ts';
import { LINE, type Placed } from './ribbon.ts';
import { isFine } from './values.ts';

/** Places within a piece, in CSS pixels from its top: the name's line is text above the picture. */
const STRIP_TOP = 28;
const STRIP_FOOT = LINE - 4;
const STRIP = STRIP_FOOT - STRIP_TOP;
const LAMP_X = 7;
const LAMP_Y = 13;
const LAMP = 6;
const BEAD = 4;

export interface Ink {
  readonly ground: string;
  readonly strip: string;
  readonly line: string;
  readonly quiet: string;
  readonly text: string;
  /** How strongly the colours of emitters show. */
  readonly tint: number;
}

export function inkOf(element: Element): Ink {
  const style = getComputedStyle(element);
  const colour = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ground: colour('--ground'),
    strip: colour('--raised'),
    line: colour('--line'),
    quiet: colour('--quiet'),
    text: colour('--text'),
    tint: document.documentElement.dataset.dimmer === 'true' ? 0.5 : 0.9,
  };
}

/** The colour of an emitter's own light: the one place where a bar is not of the interface's tone. */
const emitterInk: Readonly<Record<string, string>> = {
  ColorAdd_R: '#ea6a58',
  ColorAdd_G: '#74c069',
  ColorAdd_B: '#7b98f2',
  ColorAdd_RY: '#e9a94b',
  ColorAdd_UV: '#a97fe3',
};

/** `amount` grows from the strip's foot; `place` (an angle, a wheel) is a bead at its height, as there is no "more" to it. */
interface Mark {
  readonly kind: 'amount' | 'place' | 'fine';
  readonly ink: string | undefined;
}

const markOf = (channel: ChannelSummary): Mark => ({
  kind: isFine(channel) ? 'fine' : channel.ranges.some(({ unit }) => unit === 'degrees' || unit === 'slot') ? 'place' : 'amount',
  ink: isFine(channel) ? undefined : emitterInk[channel.attribute],
});

const marks = new WeakMap<FixtureSummary, ReadonlyMap<number, Mark>>();

/** Marks by slot of the universe, worked out once for a fixture. */
function marksOf(fixture: FixtureSummary): ReadonlyMap<number, Mark> {
  const known = marks.get(fixture);
  if (known !== undefined) return known;
  const made = new Map(fixture.channels.map((channel) => [channel.slot, markOf(channel)]));
  marks.set(fixture, made);
  return made;
}

/** Draws one piece anew, and nothing outside it. `colour` is the light that the fixture gives, 0xRRGGBB. */
export function paint(to: CanvasRenderingContext2D, piece: Placed, slots: Uint8Array | undefined, colour: number, ink: Ink): void {
  if (piece.kind === 'gap') {
    // It may lie below the end of a name, whose lamp is not its own to wipe.
    to.clearRect(piece.x, piece.y + STRIP_TOP, piece.width, LINE - STRIP_TOP);
    paintGap(to, piece, slots, ink);
  } else {
    to.clearRect(piece.x, piece.y, LAMP_X * 2, STRIP_TOP);
    to.clearRect(piece.x, piece.y + STRIP_TOP, (piece.last - piece.first + 1) * piece.step, LINE - STRIP_TOP);
    paintLamp(to, piece, colour, ink);
    paintStrip(to, piece, piece.fixture, slots, ink);
  }
}

function paintLamp(to: CanvasRenderingContext2D, { x, y }: Placed, colour: number, ink: Ink): void {
  to.beginPath();
  to.arc(x + LAMP_X, y + LAMP_Y, LAMP, 0, Math.PI * 2);
  if (colour !== 0) {
    to.fillStyle = `#${colour.toString(16).padStart(6, '0')}`;
    to.fill();
  }
  to.strokeStyle = ink.line;
  to.lineWidth = 1.5;
  to.stroke();
}

function paintStrip(
  to: CanvasRenderingContext2D,
  piece: Placed,
  fixture: FixtureSummary,
  slots: Uint8Array | undefined,
  ink: Ink,
): void {
  const { x, y, first, last, step } = piece;
  const marked = marksOf(fixture);
  const top = y + STRIP_TOP;
  const foot = y + STRIP_FOOT;
  const air = step > 4 ? 2 : step > 2 ? 1 : 0;
  for (let slot = first; slot <= last; slot++) {
    const mark = marked.get(slot);
    if (mark === undefined) continue;
    const left = x + (slot - first) * step;
    const width = Math.max(0.5, step - air);
    to.fillStyle = ink.strip;
    to.fillRect(left, top, width, STRIP);
    to.fillStyle = ink.line;
    to.fillRect(left, foot, width, 2);
    if (slots === undefined) continue;
    const share = (slots[slot - 1] as number) / 255;
    to.fillStyle = mark.kind === 'fine' ? ink.quiet : (mark.ink ?? ink.text);
    if (mark.ink !== undefined) to.globalAlpha = ink.tint;
    if (mark.kind === 'place') to.fillRect(left, foot - BEAD - share * (STRIP - BEAD), width, BEAD);
    else if (mark.kind === 'fine') to.fillRect(left + width / 2 - 1, foot - share * STRIP, Math.min(2, width), share * STRIP);
    else to.fillRect(left, foot - share * STRIP, width, share * STRIP);
    to.globalAlpha = 1;
  }
}

/** Space between fixtures: a dotted foot. Something may be driven there all the same, and then it shows. */
function paintGap(
  to: CanvasRenderingContext2D,
  { x, y, first, last, step, width }: Placed,
  slots: Uint8Array | undefined,
  ink: Ink,
): void {
  const foot = y + STRIP_FOOT;
  to.fillStyle = ink.line;
  for (let at = 0; at + 2 <= width; at += 5) to.fillRect(x + at, foot, 2, 2);
  if (slots === undefined) return;
  to.fillStyle = ink.text;
  for (let slot = first; slot <= last; slot++) {
    const value = slots[slot - 1] as number;
    if (value === 0) continue;
    const height = (value / 255) * STRIP;
    to.fillRect(x + (slot - first) * step, foot - height, Math.max(1, step - 1), height);
  }
}
